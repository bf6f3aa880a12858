package org.tarebook.control;

import java.time.Instant;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;

/**
 * Control limits computed from a baseline and frozen: they never change, whatever happens to the
 * readings they came from. A later fact may withdraw them: they stay on record and judge nothing.
 *
 * @param stratum the stratum it is for; empty: every stratum of the chart without a set of its own
 * @param baseline what it was computed from
 * @param unit of all lines and of sigma
 * @param limits the lines
 * @param inForceFrom the first moment whose points it judges
 * @param signed who froze it, when and why
 * @param withdrawal the later fact that it judges nothing; absent while it stands
 */
public record LimitSet(
    long id,
    String code,
    long chartId,
    String stratum,
    Baseline baseline,
    Unit unit,
    Limits limits,
    Instant inForceFrom,
    Signed signed,
    @Nullable Withdrawal withdrawal) {

  /** Whether it was on record and stood at a version of the chart's lock. */
  boolean stoodAt(long version) {
    return baseline.version() <= version && (withdrawal == null || withdrawal.version() > version);
  }

  /**
   * What limits were computed from.
   *
   * @param from first measuring time
   * @param before first measuring time behind it
   * @param version the chart's lock version it was read under
   * @param readings how many readings count
   * @param points how many points they made
   * @param incomplete how many made none
   * @param uncounted how many readings did not count, by cause
   */
  public record Baseline(
      Instant from,
      Instant before,
      long version,
      long readings,
      long points,
      long incomplete,
      Map<Cause, Long> uncounted) {}

  /** Who froze it, under which key, when and why. */
  public record Signed(String key, String person, String reason, Instant recordedAt) {}

  /**
   * That it was frozen wrongly and judges nothing.
   *
   * @param key the person's own key
   * @param version the chart's lock version from which on it judges nothing
   */
  public record Withdrawal(
      String key, String reason, String person, Instant recordedAt, long version) {}
}
