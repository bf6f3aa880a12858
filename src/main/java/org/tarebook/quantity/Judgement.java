package org.tarebook.quantity;

import java.math.BigDecimal;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;

/**
 * The outcome of judging one value, in the unit of the tolerance.
 *
 * @param verdict what it came to
 * @param value the value as converted, exact and not rounded
 * @param rounded what was compared instead, under the rounding method; null under the absolute
 *     method
 * @param nearest the limit the margin is measured from; the lower one if both are equally near
 * @param limit that tolerance limit, as written
 * @param margin how far inside that limit the compared value lies: positive inside, 0 on it,
 *     negative outside
 */
public record Judgement(
    Verdict verdict,
    BigFraction value,
    @Nullable BigDecimal rounded,
    Side nearest,
    BigDecimal limit,
    BigFraction margin) {}
