package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
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
 */
record Claim(
    String claim,
    @Nullable Boolean supported,
    @Nullable Double value,
    @Nullable Double limit,
    @Nullable Long readingsWithoutOne,
    @Nullable IfAllBad ifNotJudgedWereOutside,
    String words,
    List<NotComputed> notComputed) {

  /** What may have been anything, since no value of it can be judged. */
  private static final List<Cause> UNKNOWN =
      List.of(
          Cause.NO_VALUE, Cause.ABOVE_CAPACITY, Cause.INSTRUMENT_FAILED, Cause.INSTRUMENT_SUSPECT);

  /** Indices that something can be claimed of. */
  enum Of {
    CP("Cp"),
    CPK("Cpk"),
    PP("Pp"),
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

  /** The share if every reading that could not be judged lay out of tolerance. */
  @Schema(name = "ClaimIfAllBad")
  record IfAllBad(
      @Schema(
              description =
                  "Readings without a value, above the capacity of their"
                      + " instrument, or of an instrument that had failed or is suspect; of all strata of the chart.")
          long notJudged,
      double value,
      double limit,
      boolean supported) {}

  /** Holds an index against its one-sided lower limit. */
  static Claim ofIndex(Study study, Of index, double atLeast, double confidence) {
    Study.Index own = index.in(study);
    Double limit = own == null ? null : lower(index.sides(study));
    boolean supported = limit != null && limit >= atLeast;
    String figure = index.name().toLowerCase(Locale.ROOT);
    return new Claim(
        index.words + " at least " + atLeast,
        limit == null ? null : (Boolean) supported,
        own == null ? null : (Double) own.value(),
        limit,
        null,
        null,
        own == null || limit == null
            ? "Whether %s is at least %s cannot be said; notComputed says why."
                .formatted(index.words, atLeast)
            : "%s is %s, and at least %s with %s %% confidence: the claim of at least %s is %s."
                .formatted(
                    index.words,
                    digits(own.value()),
                    digits(limit),
                    percent(confidence),
                    atLeast,
                    said(supported)),
        study.notComputed().stream()
            .filter(each -> each.figure().equals(figure) || each.figure().startsWith(figure + "."))
            .toList());
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
  static Claim ofShare(Study study, double below, double confidence) {
    long without = Proportion.itemsWithoutOne(below, confidence);
    String claim = "fewer than " + percent(below) + " % out of tolerance";
    Study.Outside counted = study.counted();
    if (counted == null) {
      return new Claim(
          claim,
          null,
          null,
          null,
          without,
          null,
          "Whether fewer are out of tolerance cannot be said; notComputed says why.",
          study.notComputed().stream().filter(each -> each.figure().equals("counted")).toList());
    }
    Proportion.Count seen =
        new Proportion.Count(counted.total().readings(), study.counts().readings());
    double limit = Proportion.upperLimit(seen, confidence);
    long unknown =
        study.counts().excluded().stream()
            .filter(each -> UNKNOWN.contains(each.cause()))
            .mapToLong(each -> each.readings())
            .sum();
    Proportion.Count bad = new Proportion.Count(seen.counted() + unknown, seen.total() + unknown);
    double worst = Proportion.upperLimit(bad, confidence);
    String words =
        "%d of %d readings lie out of tolerance, with %s %% confidence at most %s %%: the claim of %s is %s. Without one outside it takes %d readings."
            .formatted(
                seen.counted(),
                seen.total(),
                percent(confidence),
                percent(limit),
                claim,
                said(limit < below),
                without);
    return new Claim(
        claim,
        limit < below,
        seen.share(),
        limit,
        without,
        new IfAllBad(unknown, bad.share(), worst, worst < below),
        unknown == 0
            ? words
            : words
                + " If all %d that could not be judged lay outside, it would be %s %% at most, and %s."
                    .formatted(unknown, percent(worst), said(worst < below)),
        List.of());
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
