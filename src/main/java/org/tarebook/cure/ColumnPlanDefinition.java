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
@Schema(name = "ColumnPlanDefinition")
public record ColumnPlanDefinition(
    @Schema(description = "Between the fields.", example = ";") @NotNull Separator separator,
    @Schema(description = "Whether numbers are written with a decimal comma.") @NotNull
        Boolean decimalComma,
    @NotNull @Valid Time time,
    @Schema(description = "The column that names a step where one begins.") @Size(min = 1, max = 80)
        @Nullable String stepColumn,
    @NotEmpty @Size(max = 200) List<@Valid @NotNull Column> columns,
    @Schema(description = "Whether columns that are not named here are passed over; else refused.")
        @NotNull
        Boolean ignoreOthers) {

  /** What stands between fields. */
  @Schema(name = "ColumnSeparator")
  public enum Separator {
    COMMA(','),
    SEMICOLON(';'),
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
  @Schema(name = "ColumnTimeForm")
  public enum TimeForm {
    /** With its offset: 2026-10-25T02:30:00+02:00. */
    INSTANT,
    /**
     * Local time by pattern and zone. In the hour that comes twice when clocks are set back, rows
     * are taken in their order: the first pass, then the second.
     */
    LOCAL,
    /** Seconds since 1970-01-01T00:00:00Z, decimals allowed. */
    EPOCH_SECONDS,
    /** Seconds since the start of the cure, decimals allowed. */
    SECONDS_FROM_START
  }

  /**
   * The column of moments.
   *
   * @param pattern of LOCAL, as {@code java.time.format.DateTimeFormatter} writes it
   * @param zone of LOCAL
   */
  @Schema(name = "ColumnPlanTime")
  public record Time(
      @NotBlank @Size(max = 80) String column,
      @NotNull TimeForm form,
      @Schema(example = "dd.MM.uuuu HH:mm:ss") @Size(max = 40) @Nullable String pattern,
      @Schema(example = "Europe/Berlin") @Size(max = 40) @Nullable String zone) {}

  /** A column that holds the samples of a channel. */
  @Schema(name = "ColumnPlanColumn")
  public record Column(@NotBlank @Size(max = 80) String column, @NotNull @Code String channel) {}
}
