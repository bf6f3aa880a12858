package org.tarebook.reading;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;

/**
 * One value an instrument showed, as recorded. Never changed: what is said of it later stands
 * beside it.
 *
 * @param id its number in the record
 * @param event what it shares with the values taken together with it
 * @param part its place among these, from 0
 * @param characteristicId what was measured
 * @param chartId the chart it belongs to; absent where the control plan has no row for it
 * @param lockVersion the version of its {@link org.tarebook.storage.WriteLocks} lock it was written
 *     under
 * @param shown what the instrument showed
 * @param judged what it was judged to be when it was recorded
 * @param remeasuresId the first reading of the same item, where this is a later one
 */
public record Reading(
    long id,
    Event event,
    int part,
    long characteristicId,
    @Nullable Long chartId,
    long lockVersion,
    Shown shown,
    Judged judged,
    @Nullable Long remeasuresId) {

  /**
   * What values taken together share.
   *
   * @param id the id of the first of them
   * @param rootId the event that first measured the item; its own id where it is the first
   * @param key the station's own key
   * @param measuredAt the device's clock
   * @param recordedAt the server's clock
   * @param remeasuresKey the key of the earlier posting that this declares to remeasure
   * @param clockDoubt where the device's clock is doubtful
   * @param postedBy the token's name
   */
  public record Event(
      long id,
      long rootId,
      long stationId,
      String key,
      Instant measuredAt,
      Instant recordedAt,
      Circumstances circumstances,
      @Nullable String remeasuresKey,
      @Nullable ClockDoubt clockDoubt,
      String postedBy) {}

  /**
   * Under which circumstances the item was measured.
   *
   * @param sample the name of the sample it was taken in
   * @param counter the station's own running number
   * @param item the item's number
   * @param truck the truck an unnumbered item lies on
   * @param leaf the leaf of the truck
   */
  public record Circumstances(
      Phase phase,
      @Nullable String die,
      @Nullable String lot,
      @Nullable String sample,
      @Nullable String operator,
      @Nullable Long counter,
      @Nullable String item,
      @Nullable String truck,
      @Nullable String leaf,
      @Nullable String itemLabel) {}

  /**
   * What an instrument showed.
   *
   * @param value net, with the decimals shown; absent where it showed none
   * @param censored that the true value lies at the value or beyond it; absent where it is exact
   * @param unit the unit shown
   * @param gross gross value in the unit
   * @param tare tare taken off, in the unit
   * @param flags what the instrument said about itself
   */
  public record Shown(
      @Nullable Long instrumentId,
      @Nullable BigDecimal value,
      @Nullable Censored censored,
      Unit unit,
      @Nullable BigDecimal gross,
      @Nullable BigDecimal tare,
      Set<Flag> flags) {}

  /**
   * A judgement.
   *
   * @param direction the side on which it failed or is conditional
   * @param notJudged why it was not judged
   * @param specificationId the revision it was judged by, or could not be judged by for want of a
   *     measuring uncertainty
   * @param uncertaintyId the measuring uncertainty that gave the guard band, under guarded
   *     acceptance
   */
  public record Judged(
      Result result,
      @Nullable Direction direction,
      @Nullable NotJudged notJudged,
      @Nullable Long specificationId,
      @Nullable Long uncertaintyId) {

    static Judged not(NotJudged reason) {
      return not(reason, null);
    }

    static Judged not(NotJudged reason, @Nullable Long specificationId) {
      return new Judged(Result.NOT_JUDGED, null, reason, specificationId, null);
    }
  }

  /** The first reading of its item: this one where it is the first. */
  long firstId() {
    return remeasuresId != null ? remeasuresId : id;
  }

  /** The lock it is written under: its chart's, or its characteristic's outside any chart. */
  long lockId() {
    return chartId != null ? chartId : characteristicId;
  }
}
