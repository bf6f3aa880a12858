package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotEmpty;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Code;

/** How a recorder writes its CSV. Columns may stand in any order; they are found by name. */
@Schema(
    name = "ColumnPlanDefinition",
    description =
        "How a recorder writes its CSV. Columns may be in any order; they are found by name.")
public record ColumnPlanDefinition(
    @Schema(description = "Between the fields.", example = "SEMICOLON") @NotNull
        Separator separator,
    @Schema(description = "Whether numbers are written with a decimal comma.") @NotNull
        Boolean decimalComma,
    @Schema(description = "The column that holds the moment of each line.") @NotNull @Valid
        Time time,
    @Schema(description = "The column that names a step where one begins.") @Size(min = 1, max = 80)
        @Nullable String stepColumn,
    @Schema(description = "The columns that hold samples.") @NotEmpty @Size(max = 200)
        List<@Valid @NotNull Column> columns,
    @Schema(description = "Whether columns that are not named here are passed over; else refused.")
        @NotNull
        Boolean ignoreOthers) {

  /** What stands between fields. */
  @Schema(name = "ColumnSeparator", description = "The character between the fields of a CSV line.")
  public enum Separator {
    @Schema(description = "A comma.")
    COMMA(','),
    @Schema(description = "A semicolon.")
    SEMICOLON(';'),
    @Schema(description = "A tab.")
    TAB('\t');

    private final char sign;

    Separator(char sign) {
      this.sign = sign;
    }

    char sign() {
      return sign;
    }
  }

  /** How a moment is written. */
  @Schema(name = "ColumnTimeForm", description = "How a moment is written in a recorder's CSV.")
  public enum TimeForm {
    @Schema(description = "With its offset: 2026-10-25T02:30:00+02:00.")
    INSTANT,
    @Schema(
        description =
            "Local time by pattern and zone. In the hour that comes twice when clocks are"
                + " set back, rows are taken in their order: the first pass, then the second.")
    LOCAL,
    @Schema(description = "Seconds since 1970-01-01T00:00:00Z, decimals allowed.")
    EPOCH_SECONDS,
    @Schema(description = "Seconds since the start of the cure, decimals allowed.")
    SECONDS_FROM_START
  }

  /** The column of moments. */
  @Schema(name = "ColumnPlanTime", description = "The column that holds the moment of each line.")
  public record Time(
      @Schema(description = "Name of the column in the header line.") @NotBlank @Size(max = 80)
          String column,
      @Schema(description = "How the moment is written.") @NotNull TimeForm form,
      @Schema(
              description =
                  "Needed of LOCAL: the pattern of the moment, as"
                      + " java.time.format.DateTimeFormatter writes it. Left out otherwise.",
              example = "dd.MM.uuuu HH:mm:ss")
          @Size(max = 40)
          @Nullable String pattern,
      @Schema(
              description = "Needed of LOCAL: name of the time zone. Left out otherwise.",
              example = "Europe/Berlin")
          @Size(max = 40)
          @Nullable String zone) {}

  /** A column that holds the samples of a channel. */
  @Schema(name = "ColumnPlanColumn", description = "A column that holds the samples of a channel.")
  public record Column(
      @Schema(description = "Name of the column in the header line.") @NotBlank @Size(max = 80)
          String column,
      @Schema(description = "Code of the channel.") @NotNull @Code String channel) {}
}
