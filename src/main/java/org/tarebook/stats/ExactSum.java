package org.tarebook.stats;

import java.math.BigInteger;
import java.util.HashMap;
import java.util.Map;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * A running sum of fractions of which many share a denominator. Exact, so in any order; not thread
 * safe.
 */
final class ExactSum {

  private final Map<BigInteger, BigInteger> numerators = new HashMap<>();

  void add(BigInteger numerator, BigInteger denominator) {
    numerators.merge(denominator, numerator, BigInteger::add);
  }

  void add(BigFraction fraction) {
    add(fraction.getNumerator(), fraction.getDenominator());
  }

  BigFraction total() {
    BigFraction total = BigFraction.ZERO;
    for (Map.Entry<BigInteger, BigInteger> part : numerators.entrySet()) {
      total = total.add(BigFraction.of(part.getValue(), part.getKey()));
    }
    return total;
  }
}
