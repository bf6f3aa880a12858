package org.tarebook.http;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Names and descriptions of schemas whose types know nothing of HTTP and carry no annotations. All
 * other types have theirs in {@code @Schema}.
 */
final class PureSchemas {

  private static final Map<String, Described> ALL =
      Map.ofEntries(
          Map.entry(
              Page.class.getName(),
              new Described(
                  "List",
                  "One page of a list.",
                  Map.of(
                      "items", "What this page holds, in the fixed order of the list.",
                      "next", "Address of the next page; absent on the last one.",
                      "cursor",
                          "The cursor in that address, for the parameter cursor of the same question;"
                              + " absent on the last one."))),
          Map.entry(
              "org.tarebook.quantity.AccuracyClass",
              new Described(
                  "AccuracyClass",
                  "Accuracy class of a scale (OIML R 76). It limits the number of"
                      + " verification scale"
                      + " intervals and sets the maximum permissible errors.",
                  Map.of(
                      "I", "Special accuracy.",
                      "II", "High accuracy.",
                      "III", "Medium accuracy.",
                      "IIII", "Ordinary accuracy."))),
          Map.entry(
              "org.tarebook.quantity.Side",
              new Described(
                  "LimitSide",
                  "Which of the two limits of a tolerance.",
                  Map.of("LOWER", "The lower limit.", "UPPER", "The upper limit."))),
          Map.entry(
              "org.tarebook.stats.Estimator",
              new Described(
                  "Estimator",
                  "How sigma is estimated. Estimates within subgroups leave out what moves between"
                      + " subgroups.",
                  Map.of(
                      "POOLED",
                          "Root of the pooled variance within subgroups, whose sizes may differ.",
                      "POOLED_C4", "POOLED divided by c4, which removes its bias.",
                      "R_BAR", "Mean range of subgroups over d2; subgroups of equal size only.",
                      "S_BAR",
                          "Mean standard deviation of subgroups over c4; subgroups of equal size"
                              + " only.",
                      "MOVING_RANGE",
                          "Mean moving range of two over d2, for single readings in the order of"
                              + " time.",
                      "BETWEEN_WITHIN",
                          "The spread between the means of subgroups and the spread inside them,"
                              + " together.",
                      "TOTAL",
                          "Standard deviation of all readings together, with divisor n - 1."))),
          Map.entry(
              "org.tarebook.stats.Interval",
              new Described(
                  "Interval",
                  "Two limits that contain the true figure with the stated confidence.",
                  Map.of(
                      "lower", "Lower confidence limit, in the unit of the figure.",
                      "upper", "Upper confidence limit, in the unit of the figure."))),
          Map.entry(
              "org.tarebook.stats.Side",
              new Described(
                  "Side",
                  "A half of a control chart.",
                  Map.of("ABOVE", "Above the centre line.", "BELOW", "Below the centre line."))),
          Map.entry(
              "org.tarebook.stats.capability.TargetIndices$Divisor",
              new Described(
                  "CpmDivisor",
                  "How the spread about the target was averaged for the index Cpm.",
                  Map.of(
                      "N", "Sum of squared distances from the target over n (Boyles, 1991).",
                      "N_LESS_1",
                          "Sum of squared distances from the target over n - 1 (Chan, Cheng and"
                              + " Spiring, 1988).",
                      "GIVEN_SIGMA",
                          "From an estimate of sigma and the distance of the mean from the"
                              + " target."))),
          Map.entry(
              "org.tarebook.stats.fit.Family",
              new Described(
                  "Family",
                  "A family of distributions that can be fitted to readings.",
                  Map.of(
                      "NORMAL",
                      "By mean and standard deviation.",
                      "LOGNORMAL",
                      "By mean and standard deviation of the natural logarithms; positive"
                          + " readings only.",
                      "WEIBULL",
                      "By shape and scale; positive readings only.",
                      "GAMMA",
                      "By shape and scale; positive readings only.",
                      "RAYLEIGH",
                      "By scale: a distance whose two parts are normal about 0, such as a"
                          + " runout; positive readings only.",
                      "RICE",
                      "By offset and sigma: a distance whose two parts are normal about a point"
                          + " other than 0."))),
          Map.entry(
              "org.tarebook.stats.fit.ProbabilityPlot$Point",
              new Described(
                  "ProbabilityPlotPoint",
                  "One reading in a probability plot.",
                  Map.of(
                      "reading", "The reading, in the unit of the study.",
                      "share", "Share of the distribution at its plotting position, 0 to 1.",
                      "expected",
                          "The value that the fitted distribution has at that share, in the unit of"
                              + " the study."))),
          Map.entry(
              "org.tarebook.thermal.Rule",
              new Described(
                  "HeatRule",
                  "How the rate of cure is taken between two temperature samples.",
                  Map.of(
                      "LOG_MEAN",
                      "Logarithmic mean of the two rates: never above the true value where the"
                          + " temperature runs straight. Used for minima.",
                      "TRAPEZOID",
                      "Mean of the two rates: never below the true value where the temperature"
                          + " runs straight. Used for maxima.",
                      "EXACT",
                      "The integral of the rate with the temperature straight in between.",
                      "HOLD",
                      "The rate at the earlier sample until the later one."))),
          Map.entry(
              "org.tarebook.thermal.SensorClass",
              new Described(
                  "SensorClass",
                  "Class of a temperature sensor, which states its largest error: thermocouples by"
                      + " IEC 60584-1, platinum resistors by IEC 60751.",
                  Map.of(
                      "THERMOCOUPLE_JKN_1",
                          "Types J, K and N, class 1: 1.5 K, or 0.4 % of the temperature where that"
                              + " is more.",
                      "THERMOCOUPLE_JKN_2",
                          "Types J, K and N, class 2: 2.5 K, or 0.75 % of the temperature where"
                              + " that"
                              + " is more.",
                      "THERMOCOUPLE_T_1",
                          "Type T, class 1: 0.5 K, or 0.4 % of the temperature where that is more.",
                      "THERMOCOUPLE_T_2",
                          "Type T, class 2: 1 K, or 0.75 % of the temperature where that is more.",
                      "PT100_A", "Pt100 class A: 0.15 K plus 0.2 % of the temperature.",
                      "PT100_B", "Pt100 class B: 0.30 K plus 0.5 % of the temperature."))));

  private PureSchemas() {}

  /** The name of a class's schema; absent where the class is not listed. */
  static @Nullable String name(String type) {
    Described described = ALL.get(type);
    return described == null ? null : described.name();
  }

  /** What the class is; absent where the class is not listed. */
  static @Nullable String description(String type) {
    Described described = ALL.get(type);
    return described == null ? null : described.description();
  }

  /** What a member or value of the class is; absent where it is not listed. */
  static @Nullable String part(String type, String name) {
    Described described = ALL.get(type);
    return described == null ? null : described.parts().get(name);
  }

  private record Described(String name, String description, Map<String, String> parts) {}
}
