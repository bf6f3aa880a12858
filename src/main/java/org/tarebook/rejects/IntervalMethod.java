package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Optional;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Proportion;

/** How the interval of a share is made that takes items as independent. */
@Schema(
    name = "IntervalMethod",
    description = "How the confidence interval of a share is computed for independent items.")
public enum IntervalMethod {
  @Schema(description = "Wilson's score interval: holds its confidence on average over rates.")
  WILSON("Wilson's score interval"),
  @Schema(
      description =
          "The exact interval, which never falls short of its confidence and is the widest.")
  CLOPPER_PEARSON("the exact interval of Clopper and Pearson"),
  @Schema(description = "The equal-tailed interval of Jeffreys: between the other two.")
  JEFFREYS("the equal-tailed interval of Jeffreys");

  private final String words;

  IntervalMethod(String words) {
    this.words = words;
  }

  /** What it is called. */
  String words() {
    return words;
  }

  /** The interval of a share that so many independent items would have given. */
  Interval of(double share, double total, double confidence) {
    return switch (this) {
      case WILSON -> Proportion.wilson(share, total, confidence);
      case CLOPPER_PEARSON -> Proportion.clopperPearson(share, total, confidence);
      case JEFFREYS -> Proportion.jeffreys(share, total, confidence);
    };
  }

  /**
   * The interval of a share.
   *
   * @param loads the same share by press loads; empty where items are independent
   * @return empty where all items are of one load
   */
  Optional<Interval> of(Proportion.Count count, Optional<ClusteredShare> loads, double confidence) {
    return loads.isEmpty()
        ? Optional.of(of(count, confidence))
        : loads.get().effectiveTotal(confidence).map(total -> of(count.share(), total, confidence));
  }

  /** The interval of a share of independent items. */
  Interval of(Proportion.Count count, double confidence) {
    return switch (this) {
      case WILSON -> Proportion.wilson(count, confidence);
      case CLOPPER_PEARSON -> Proportion.clopperPearson(count, confidence);
      case JEFFREYS -> Proportion.jeffreys(count, confidence);
    };
  }
}
