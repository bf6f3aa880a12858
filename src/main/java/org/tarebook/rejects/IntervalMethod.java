package org.tarebook.rejects;

import org.tarebook.stats.Interval;
import org.tarebook.stats.Proportion;

/** How the interval of a share is made that takes items as independent. */
public enum IntervalMethod {
  /** Wilson's score interval: holds its confidence on average over rates. */
  WILSON("Wilson's score interval"),
  /** The exact interval, which never falls short of its confidence and is the widest. */
  CLOPPER_PEARSON("the exact interval of Clopper and Pearson"),
  /** The equal-tailed interval of Jeffreys: between the other two. */
  JEFFREYS("the equal-tailed interval of Jeffreys");

  private final String words;

  IntervalMethod(String words) {
    this.words = words;
  }

  /** What it is called. */
  String words() {
    return words;
  }

  /** The interval of a share. */
  Interval of(Proportion.Count count, double confidence) {
    return switch (this) {
      case WILSON -> Proportion.wilson(count, confidence);
      case CLOPPER_PEARSON -> Proportion.clopperPearson(count, confidence);
      case JEFFREYS -> Proportion.jeffreys(count, confidence);
    };
  }
}
