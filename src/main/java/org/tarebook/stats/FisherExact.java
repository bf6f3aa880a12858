package org.tarebook.stats;

import java.util.function.IntPredicate;
import org.apache.commons.statistics.distribution.HypergeometricDistribution;

/** Whether two shares differ, by the chances of whole counts, however few there are. */
public final class FisherExact {

  /** Chances that differ by less than this share of themselves count as equal. */
  private static final double TIE = 1e-7;

  /** Chances below this share of what is summed so far are left out. */
  private static final double NEGLIGIBLE = 1e-18;

  private FisherExact() {}

  /**
   * Returns the two-sided chance of R. A. Fisher: of all tables with the margins of this one, those
   * that are no likelier than it, if both shares were one.
   *
   * <p>For independent items it never finds a difference more often than its chance says, and so is
   * a little timid.
   *
   * <p><b>Source:</b> A. Agresti, Categorical Data Analysis, section 3.5.
   *
   * @param first one side; both sides together at most 2<sup>31</sup> - 1 items
   * @param second the other
   * @return above 0 and at most 1; 1 when nothing or everything was counted in both
   * @throws ArithmeticException if there are more items
   */
  public static double chance(Proportion.Count first, Proportion.Count second) {
    int items = Math.toIntExact(Math.addExact(first.total(), second.total()));
    int counted = Math.toIntExact(first.counted() + second.counted());
    int total = Math.toIntExact(first.total());
    HypergeometricDistribution tables = HypergeometricDistribution.of(items, counted, total);
    int least = tables.getSupportLowerBound();
    int most = tables.getSupportUpperBound();
    double limit = tables.probability(Math.toIntExact(first.counted())) * (1 + TIE);
    IntPredicate likelier = table -> tables.probability(table) > limit;
    // Chances rise to this table and fall behind it.
    int likeliest =
        (int) Math.max(least, Math.min(most, (total + 1.0) * (counted + 1.0) / (items + 2.0)));
    if (!likelier.test(likeliest)) {
      return 1;
    }
    int firstLikelier = boundary(least - 1, likeliest, likelier);
    int lastLikelier = boundary(most + 1, likeliest, likelier);
    double below = firstLikelier == least ? 0 : tail(tables, firstLikelier - 1, -1);
    double above = lastLikelier == most ? 0 : tail(tables, lastLikelier + 1, 1);
    return Math.min(1, below + above);
  }

  /**
   * The chance of a table and of all beyond it. Each is the one before times a ratio that falls, so
   * that some hundred standard deviations of tables are summed at most, however many there are.
   */
  private static double tail(HypergeometricDistribution tables, int from, int step) {
    double sum = 0;
    double chance = tables.probability(from);
    double counted = tables.getNumberOfSuccesses();
    double drawn = tables.getSampleSize();
    double rest = tables.getPopulationSize() - counted - drawn;
    for (int table = from; chance > NEGLIGIBLE * sum; table += step) {
      sum += chance;
      double up = (counted - table) * (drawn - table);
      double down = table * (rest + table);
      chance *=
          step > 0
              ? up / ((table + 1.0) * (rest + table + 1))
              : down / ((counted - table + 1) * (drawn - table + 1));
    }
    return sum;
  }

  /** The outermost table towards {@code outside} of which the test holds, as it does inside. */
  private static int boundary(int outside, int inside, IntPredicate likelier) {
    int out = outside;
    int in = inside;
    while (Math.abs(in - out) > 1) {
      int middle = out + (in - out) / 2;
      if (likelier.test(middle)) {
        in = middle;
      } else {
        out = middle;
      }
    }
    return in;
  }
}
