package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.check.FoundErrors;
import org.tarebook.check.FoundErrors.FoundError;
import org.tarebook.control.StudyWindow;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;

/** {@code /instrument-checks/chart}: whether an instrument is steady from check to check. */
@Tag(name = "Instrument checks")
@RestController
class CheckChartController {

  private final FoundErrors errors;
  private final Instruments instruments;
  private final Clock clock;

  CheckChartController(FoundErrors errors, Instruments instruments, Clock clock) {
    this.errors = errors;
    this.instruments = instruments;
    this.clock = clock;
  }

  @Operation(
      operationId = "chartChecks",
      summary = "Chart the checks of an instrument",
      description =
          "The mean error found at each check against one standard, before anything was adjusted, as"
              + " single readings with limits by the mean moving range: whether the instrument is"
              + " steady, which an error within what is permitted does not say. The last 400 days"
              + " where nobody says; the first 10,000 points of the window are listed.")
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/instrument-checks/chart")
  CheckChart chart(
      @Parameter(description = "Code of the instrument.") @RequestParam String instrument,
      @Parameter(description = "Name of the known standard, as in its checks.") @RequestParam
          String standard,
      @RequestParam @Nullable Instant checkedFrom,
      @RequestParam @Nullable Instant checkedBefore) {
    Instrument found = instruments.require(instrument, "instrument");
    Instant before = checkedBefore == null ? clock.instant() : checkedBefore;
    StudyWindow window =
        StudyWindow.of(
            checkedFrom == null ? before.minus(StudyWindow.LONGEST) : checkedFrom, before, before);
    List<FoundError> all = errors.of(found, window.from(), window.before());
    List<FoundError> wanted =
        all.stream().filter(each -> each.standard().equals(standard)).toList();
    if (wanted.isEmpty()) {
      List<String> others = all.stream().map(FoundError::standard).distinct().sorted().toList();
      throw Problem.at(
          ProblemType.UNKNOWN_CODE,
          "standard",
          "no check of "
              + instrument
              + " in the window looked at it as found with the standard '"
              + standard
              + "'; there are "
              + (others.isEmpty() ? "none" : String.join(", ", others)));
    }
    return CheckChart.of(found, standard, window, wanted);
  }
}
