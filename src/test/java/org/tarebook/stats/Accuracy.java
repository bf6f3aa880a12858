package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * Holds figures against reference values, and keeps the worst error of each function; a run under
 * Maven leaves them in {@code target/worst-errors.csv}.
 */
public final class Accuracy {

  private record Check(String function, String unit, String source) {}

  private record Error(double worst, double allowed, int checks) {

    Error and(double error, double bound) {
      return new Error(Math.max(worst, error), Math.max(allowed, bound), checks + 1);
    }
  }

  private static final Map<Check, Error> SEEN =
      new TreeMap<>(Comparator.comparing(Check::toString));

  static {
    Runtime.getRuntime().addShutdownHook(new Thread(Accuracy::write));
  }

  private Accuracy() {}

  /** Asserts that a figure is no further from the expected one than allowed, in its own unit. */
  public static void absolute(
      String function, String source, double own, double expected, double allowed) {
    hold(function, "absolute", source, own, expected, Math.abs(own - expected), allowed);
  }

  /** Asserts that a figure errs by no more than the allowed part of the expected one. */
  public static void relative(
      String function, String source, double own, double expected, double allowed) {
    double error = own == expected ? 0 : Math.abs(own - expected) / Math.abs(expected);
    hold(function, "relative", source, own, expected, error, allowed);
  }

  /** Asserts that a simulated figure is no more standard errors from the expected one. */
  public static void simulated(
      String function,
      String source,
      double own,
      double expected,
      double standardError,
      double allowed) {
    double error = Math.abs(own - expected) / standardError;
    hold(function, "standard errors", source, own, expected, error, allowed);
  }

  private static synchronized void hold(
      String function,
      String unit,
      String source,
      double own,
      double expected,
      double error,
      double allowed) {
    SEEN.merge(
        new Check(function, unit, source),
        new Error(error, allowed, 1),
        (before, now) -> before.and(error, allowed));
    // Written so that NaN fails.
    assertThat(error <= allowed)
        .as(
            "%s is %s, %s says %s: %s error %s, allowed %s",
            function, own, source, expected, unit, error, allowed)
        .isTrue();
  }

  /** Only Maven's test run names the base directory; runs of mutated code leave no figures. */
  private static synchronized void write() {
    String base = System.getProperty("basedir");
    if (base == null) {
      return;
    }
    List<String> lines = new ArrayList<>();
    lines.add("function,worst error,unit of error,allowed,checks,source file");
    SEEN.forEach(
        (check, error) ->
            lines.add(
                String.format(
                    Locale.ROOT,
                    "%s,%.1e,%s,%.1e,%d,%s",
                    check.function,
                    error.worst,
                    check.unit,
                    error.allowed,
                    error.checks,
                    check.source)));
    try {
      Files.write(Path.of(base, "target", "worst-errors.csv"), lines);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
