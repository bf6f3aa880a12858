package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.Flag;
import org.tarebook.reading.Cause;

/** Something that a claim rests on, whether the readings support it or not. */
@Schema(name = "ClaimReservation", description = "Something that the answer rests on.")
record Reservation(
    @Schema(description = "Kind of reservation, for a program.", example = "NOT_IN_CONTROL")
        Code code,
    @Schema(
            description = "The reservation as a sentence for people.",
            example =
                "The process is not in control, so what it did need not hold for what it will do.")
        String words) {

  /** Doubts that show readings to be alike within a load, a stratum or a stretch of time. */
  private static final Set<Flag.Code> ALIKE =
      Set.of(Flag.Code.MIXED_STRATA, Flag.Code.AUTOCORRELATED, Flag.Code.MIXED_STREAMS);

  /** The chance below which points are said to differ; common practice. */
  private static final double RARE = 0.01;

  /** What a claim rests on. */
  @Schema(name = "ClaimReservationCode", description = "A kind of reservation about a claim.")
  enum Code {
    @Schema(description = "The process is not in control.")
    NOT_IN_CONTROL,
    @Schema(description = "Whether the process is in control is not known.")
    CONTROL_UNKNOWN,
    @Schema(description = "Several revisions of the specification were in force in the window.")
    SPECIFICATION_CHANGED,
    @Schema(description = "In a part of the window no specification was in force.")
    PARTLY_WITHOUT_SPECIFICATION,
    @Schema(description = "The results of instrument checks are still being applied to readings.")
    APPLYING_DOUBTS,
    @Schema(description = "Readings count whose instrument has no valid check.")
    UNVERIFIED,
    @Schema(
        description =
            "Readings are left out that lie between the last good check and one that was"
                + " failed.")
    INSTRUMENT_SUSPECT,
    @Schema(
        description = "Readings are left out that came after a check that their instrument failed.")
    INSTRUMENT_FAILED,
    @Schema(description = "Readings are left out that could not be judged.")
    NOT_JUDGED,
    @Schema(
        description = "Readings are alike within a sample, a load, a stratum or a stretch of time.")
    NOT_INDEPENDENT,
    @Schema(description = "The study has doubts; its flags name them.")
    DOUBTS
  }

  /** What a claim about an index rests on. */
  static List<Reservation> of(Study study) {
    List<Reservation> found = new ArrayList<>();
    Study.InControl control = study.control();
    Boolean inControl = control == null ? null : control.inControl();
    if (inControl == null) {
      found.add(
          new Reservation(
              Code.CONTROL_UNKNOWN, "It is not known whether the process is in control."));
    } else if (!inControl) {
      found.add(
          new Reservation(
              Code.NOT_IN_CONTROL,
              "The process is not in control, so what it did need not hold for what it will do."));
    }
    Study.Used used = study.specification();
    long revisions = used == null ? 0 : revisions(study, used);
    if (used != null && revisions > 1) {
      found.add(
          new Reservation(
              Code.SPECIFICATION_CHANGED,
              "%d revisions of the specification were in force in the window, and all readings are held against revision %d (%s to %s %s); reject rates hold each against its own."
                  .formatted(
                      revisions,
                      used.revision(),
                      limit(used.lowerWritten()),
                      limit(used.upperWritten()),
                      used.unitWritten())));
    }
    if (Boolean.TRUE.equals(study.partlyWithoutSpecification())) {
      found.add(
          new Reservation(
              Code.PARTLY_WITHOUT_SPECIFICATION,
              "No revision of the specification was in force in a part of the window, so its readings were not judged; they are held against the revision used all the same."));
    }
    Unsettled unsettled = study.state().unsettled();
    List<String> doubted = unsettled == null ? null : unsettled.applyingDoubts();
    if (doubted != null) {
      found.add(
          new Reservation(
              Code.APPLYING_DOUBTS,
              "Readings of %s are being taken out, or back in, as a check says; ask again when that has finished."
                  .formatted(String.join(", ", doubted))));
    }
    Study.Counts counts = study.counts();
    Long unverified = counts.unverified();
    if (unverified != null && unverified > 0) {
      found.add(
          new Reservation(
              Code.UNVERIFIED,
              "%d of %d readings are of an instrument without a valid check."
                  .formatted(unverified, counts.readings())));
    }
    leftOut(
        found,
        Code.NOT_JUDGED,
        counts,
        " that could not be judged",
        Cause.NO_VALUE,
        Cause.ABOVE_CAPACITY);
    leftOut(
        found,
        Code.INSTRUMENT_FAILED,
        counts,
        " after a check that the instrument failed",
        Cause.INSTRUMENT_FAILED);
    leftOut(
        found,
        Code.INSTRUMENT_SUSPECT,
        counts,
        " between the last good check of the instrument and one that it failed",
        Cause.INSTRUMENT_SUSPECT);
    if (!study.flags().isEmpty()) {
      found.add(
          new Reservation(
              Code.DOUBTS,
              "The study has doubts (%s); flags says more."
                  .formatted(
                      study.flags().stream()
                          .map(flag -> flag.code().name().toLowerCase(Locale.ROOT))
                          .map(code -> code.replace('_', ' '))
                          .collect(Collectors.joining(", ")))));
    }
    return found;
  }

  /** What a claim about an index of all readings rests on: its limit takes them as independent. */
  static List<Reservation> ofPerformance(Study study) {
    List<Reservation> found = of(study);
    if (study.flags().stream().anyMatch(flag -> ALIKE.contains(flag.code()))) {
      found.add(
          new Reservation(
              Code.NOT_INDEPENDENT,
              "The limit takes readings as independent, but they are alike within a stratum or a"
                  + " stretch of time here, so the true limit is worse."));
    }
    return found;
  }

  /** What a claim about a share rests on: its limit takes readings as independent too. */
  static List<Reservation> ofShare(Study study, Chart chart) {
    List<Reservation> found = of(study);
    Study.Outside counted = study.counted();
    Double pointsDiffer = counted == null ? null : counted.pointsDifferP();
    boolean alike =
        chart.cut().kind() == Chart.Kind.BETWEEN_WITHIN
            || (pointsDiffer != null && pointsDiffer < RARE)
            || found.stream().anyMatch(each -> each.code() == Code.NOT_IN_CONTROL)
            || study.flags().stream().anyMatch(flag -> ALIKE.contains(flag.code()));
    if (alike) {
      found.add(
          new Reservation(
              Code.NOT_INDEPENDENT,
              "The limit takes readings as independent, but those of one sample, load, shift or"
                  + " stratum are alike here, so the true limit is worse; the reject rates of the"
                  + " line have an interval that allows for it."));
    }
    return found;
  }

  private static void leftOut(
      List<Reservation> found, Code code, Study.Counts counts, String why, Cause... causes) {
    long readings = counts.excluded(causes);
    if (readings > 0) {
      found.add(
          new Reservation(
              code,
              readings
                  + (readings == 1 ? " reading" : " readings")
                  + why
                  + (readings == 1 ? " is left out." : " are left out.")));
    }
  }

  /** How many were in force in the window up to the one that is used, which is the last. */
  private static long revisions(Study study, Study.Used used) {
    Instant from =
        study.revisions().stream()
            .filter(each -> each.revision() == used.revision())
            .map(Study.Revision::validFrom)
            .findFirst()
            .orElse(Instant.MAX);
    return study.revisions().stream().filter(each -> !each.validFrom().isAfter(from)).count();
  }

  private static String limit(@Nullable BigDecimal limit) {
    return limit == null ? "no limit" : limit.toPlainString();
  }

  /** A sentence with the sentences of its reservations after it. */
  static String append(String sentence, List<Reservation> reservations) {
    return reservations.stream()
        .map(Reservation::words)
        .collect(Collectors.joining(" ", sentence + " ", ""))
        .strip();
  }
}
