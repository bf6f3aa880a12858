package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.control.NotComputed;
import org.tarebook.quantity.Decimals;
import org.tarebook.reading.Cause;
import org.tarebook.stats.Proportion;

/**
 * A claim held against a study whose intervals have twice the tail of the claim's own confidence.
 *
 * @param claim in words
 * @param supported whether the limit supports it; absent where the limit is
 * @param value the index, or the share out of tolerance
 * @param limit one-sided: lower of an index, upper of a share
 * @param readingsWithoutOne of a share, how many readings support it with none outside
 * @param reservations what the claim rests on, although it may be supported
 */
@Schema(name = "Claim")
record Claim(
    String claim,
    @Nullable Boolean supported,
    @Nullable Double value,
    @Nullable Double limit,
    @Nullable Long readingsWithoutOne,
    @Nullable IfLeftOut ifLeftOutWereOutside,
    List<Reservation> reservations,
    String words,
    List<NotComputed> notComputed) {

  /** Indices that something can be claimed of. */
  @Schema(
      name = "ClaimedIndex",
      description = "A capability or performance index that a claim can be about.")
  enum Of {
    @Schema(description = "Capability index Cp, by the sigma within subgroups.")
    CP("Cp"),
    @Schema(description = "Capability index Cpk, by the sigma within subgroups.")
    CPK("Cpk"),
    @Schema(description = "Performance index Pp, by the sigma of all readings.")
    PP("Pp"),
    @Schema(description = "Performance index Ppk, by the sigma of all readings.")
    PPK("Ppk");

    private final String words;

    Of(String words) {
      this.words = words;
    }

    private Study.@Nullable Index in(Study study) {
      return switch (this) {
        case CP -> study.cp();
        case CPK -> study.cpk();
        case PP -> study.pp();
        case PPK -> study.ppk();
      };
    }

    /** The indices whose lower limits all bound it: of each side, where the nearer side decides. */
    private List<Study.Index> sides(Study study) {
      List<Study.@Nullable Index> sides =
          switch (this) {
            case CP, PP -> Collections.singletonList(in(study));
            case CPK -> Arrays.asList(study.cpu(), study.cpl());
            case PPK -> Arrays.asList(study.ppu(), study.ppl());
          };
      return sides.stream().filter(Objects::nonNull).toList();
    }
  }

  /** The share if every reading that is left out for its value or its instrument lay outside. */
  @Schema(
      name = "ClaimIfLeftOut",
      description =
          "The share out of tolerance if every reading that is left out for its value or"
              + " its instrument were outside.")
  record IfLeftOut(
      @Schema(
              description =
                  "Readings left out, of all strata of the chart: without a value, or above the"
                      + " capacity of their instrument.")
          long notJudged,
      @Schema(description = "Readings left out: after a check that their instrument failed.")
          long instrumentFailed,
      @Schema(
              description =
                  "Readings left out as suspect: between the last good check of their instrument and one"
                      + " that it failed. They keep their results.")
          long instrumentSuspect,
      @Schema(description = "The share, 0 to 1, if all of these lay outside.") double value,
      @Schema(description = "Its one-sided upper limit.") double limit,
      @Schema(description = "Whether that limit supports the claim.") boolean supported) {}

  /** Holds an index against its one-sided lower limit. */
  static Claim ofIndex(Study study, Of index, double atLeast, double confidence) {
    Study.Index own = index.in(study);
    Double limit = own == null ? null : lower(index.sides(study));
    String figure = index.name().toLowerCase(Locale.ROOT);
    String claim = index.words + " at least " + atLeast;
    List<NotComputed> missing =
        study.notComputed().stream()
            .filter(each -> each.figure().equals(figure) || each.figure().startsWith(figure + "."))
            .toList();
    if (own == null || limit == null) {
      return unknown(study, claim, own == null ? null : own.value(), null, missing);
    }
    List<Reservation> reservations =
        index == Of.PP || index == Of.PPK
            ? Reservation.ofPerformance(study)
            : Reservation.of(study);
    boolean supported = limit >= atLeast;
    return new Claim(
        claim,
        supported,
        own.value(),
        limit,
        null,
        null,
        reservations,
        Reservation.append(
            "%s is %s, and at least %s with %s %% confidence: the claim of at least %s is %s."
                .formatted(
                    index.words,
                    Decimals.beside(own.value(), limit, 4),
                    Decimals.beside(limit, atLeast, 4),
                    percent(confidence),
                    atLeast,
                    said(supported)),
            reservations),
        missing);
  }

  /** A claim that nothing can be said of, for the first of the reasons. */
  private static Claim unknown(
      Study study,
      String claim,
      @Nullable Double value,
      @Nullable Long without,
      List<NotComputed> missing) {
    return new Claim(
        claim,
        null,
        value,
        null,
        without,
        null,
        Reservation.of(study),
        missing.stream()
            .findFirst()
            .map(NotComputed::words)
            .map(
                why ->
                    "The claim (%s) cannot be held against the readings. %s".formatted(claim, why))
            .orElse("The claim (%s) cannot be held against the readings.".formatted(claim)),
        missing);
  }

  /** The least of the lower limits; absent where one is. */
  private static @Nullable Double lower(List<Study.Index> sides) {
    Double least = null;
    for (Study.Index side : sides) {
      Double lower = side.lower();
      if (lower == null) {
        return null;
      }
      least = least == null ? lower : (Double) Math.min(least, lower);
    }
    return least;
  }

  /** Holds a share out of tolerance against its one-sided upper limit. */
  static Claim ofShare(Study study, Chart chart, double below, double confidence) {
    long without = Proportion.itemsWithoutOne(below, confidence);
    String claim = "fewer than " + percent(below) + " % out of tolerance";
    Study.Outside counted = study.counted();
    if (counted == null) {
      return unknown(
          study,
          claim,
          null,
          without,
          study.notComputed().stream().filter(each -> each.figure().equals("counted")).toList());
    }
    Proportion.Count seen =
        new Proportion.Count(counted.total().readings(), study.counts().readings());
    double limit = Proportion.upperLimit(seen, confidence);
    IfLeftOut worst = worst(study, seen, below, confidence);
    String words =
        "%d of %d readings lie out of tolerance, with %s %% confidence at most %s %%: the claim of %s is %s. Without one outside it takes %d readings."
            .formatted(
                seen.counted(),
                seen.total(),
                percent(confidence),
                Decimals.beside(100 * limit, 100 * below, 4),
                claim,
                said(limit < below),
                without);
    if (worst.value() > seen.share()) {
      words +=
          " If all readings left out lay outside, it would be %s %% at most, and %s."
              .formatted(
                  Decimals.beside(100 * worst.limit(), 100 * below, 4), said(worst.supported()));
    }
    List<Reservation> reservations = Reservation.ofShare(study, chart);
    return new Claim(
        claim,
        limit < below,
        seen.share(),
        limit,
        without,
        worst,
        reservations,
        Reservation.append(words, reservations),
        List.of());
  }

  private static IfLeftOut worst(
      Study study, Proportion.Count seen, double below, double confidence) {
    long notJudged = study.counts().excluded(Cause.NO_VALUE, Cause.ABOVE_CAPACITY);
    long failed = study.counts().excluded(Cause.INSTRUMENT_FAILED);
    long suspect = study.counts().excluded(Cause.INSTRUMENT_SUSPECT);
    long unknown = notJudged + failed + suspect;
    Proportion.Count bad = new Proportion.Count(seen.counted() + unknown, seen.total() + unknown);
    double limit = Proportion.upperLimit(bad, confidence);
    return new IfLeftOut(notJudged, failed, suspect, bad.share(), limit, limit < below);
  }

  private static String said(boolean supported) {
    return supported ? "supported" : "not supported";
  }

  private static String percent(double share) {
    return digits(100 * share);
  }

  private static String digits(double figure) {
    return String.format(Locale.ROOT, "%.4g", figure);
  }
}
