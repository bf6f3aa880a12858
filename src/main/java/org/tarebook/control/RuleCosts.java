package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import org.springframework.stereotype.Component;
import org.tarebook.stats.RuleCost;
import org.tarebook.stats.RunRule;

/** What run rules cost, remembered, since simulating takes a second. */
@Component
public class RuleCosts {

  private static final int MOST_REMEMBERED = 500;

  private final Map<List<RunRule>, Optional<Shown>> shown = new ConcurrentHashMap<>();

  /**
   * Run lengths in words and figures.
   *
   * @param inControl mean points to a false signal
   * @param atOneSigma mean points to the signal of a lasting shift of one sigma of a point
   */
  @Schema(
      name = "RuleCost",
      description =
          "What the run rules cost and find, for independent normal points about known limits.")
  public record Shown(
      @Schema(description = "Mean points to a false signal.") double inControl,
      @Schema(description = "Mean points to the signal of a lasting shift of one sigma of a point.")
          double atOneSigma,
      @Schema(description = "Whether both are exact; else they were simulated.") boolean exact,
      @Schema(description = "The run lengths as a sentence for people.") String words) {}

  /** Run lengths of some rules; empty if they hardly ever signal. */
  Optional<Shown> find(List<RunRule> rules) {
    if (shown.size() > MOST_REMEMBERED) {
      shown.clear();
    }
    return shown.computeIfAbsent(List.copyOf(rules), RuleCosts::compute);
  }

  private static Optional<Shown> compute(List<RunRule> rules) {
    try {
      return Optional.of(shown(RuleCost.of(rules, 0), RuleCost.of(rules, 1)));
    } catch (IllegalArgumentException hardlyEver) {
      return Optional.empty();
    }
  }

  private static Shown shown(RuleCost inControl, RuleCost shifted) {
    boolean exact = inControl.standardError() == null && shifted.standardError() == null;
    return new Shown(
        inControl.runLength().mean(),
        shifted.runLength().mean(),
        exact,
        String.format(
            Locale.ROOT,
            "With these rules the chart of points signals falsely about once in %.0f points, and"
                + " finds a lasting shift of one sigma of a point after about %.1f points"
                + " (%s; independent normal points, known limits).",
            inControl.runLength().mean(),
            shifted.runLength().mean(),
            exact ? "exact" : "simulated"));
  }
}
