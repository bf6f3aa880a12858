package org.tarebook.check;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem.Fault;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/**
 * An instrument measuring a known standard. Never changed once recorded.
 *
 * @param instrument the id of the instrument
 * @param posted what was sent
 * @param limit the largest error let pass, as it was when recorded
 * @param asFound what the as-found phase came to; absent without one
 * @param asLeft what the as-left phase came to; absent without one
 * @param recordedAt the server's clock
 * @param postedBy who sent it; the key is unique among theirs
 * @param voiding the later fact that it says nothing; absent while it stands
 */
@Schema(name = "InstrumentCheck")
record InstrumentCheck(
    long id,
    long instrument,
    Posted posted,
    PermissibleError limit,
    @Nullable CheckResult asFound,
    @Nullable CheckResult asLeft,
    Instant recordedAt,
    String postedBy,
    @Nullable Voiding voiding) {

  /** Whether it stands or was voided. */
  @Schema(name = "CheckStanding", description = "Whether an instrument check counts.")
  enum Standing {
    @Schema(description = "It counts.")
    COUNTED,
    @Schema(description = "A later voiding took it out; it has no effect any more.")
    VOIDED
  }

  /**
   * That a check was recorded wrongly and says nothing of its instrument.
   *
   * @param key the person's own key
   */
  record Voiding(String key, String reason, String person, Instant recordedAt) {}

  /**
   * A check as sent.
   *
   * @param standardValue certified value of the standard, in {@code unit}
   * @param unit of the certified value only
   * @param asFound indications before adjusting, in the instrument's unit; may be empty
   * @param asLeft indications after adjusting, in the instrument's unit; may be empty
   * @param onVerification whether the errors permitted on verification apply, not those in service
   */
  record Posted(
      String key,
      Instant checkedAt,
      String standard,
      String certificate,
      BigDecimal standardValue,
      Unit unit,
      List<BigDecimal> asFound,
      List<BigDecimal> asLeft,
      boolean onVerification,
      @Nullable String note) {

    Posted {
      standardValue = Decimals.plain(standardValue);
      asFound = asFound.stream().map(Posted::asKept).toList();
      asLeft = asLeft.stream().map(Posted::asKept).toList();
    }

    /** With the decimals the instrument showed, up to those that are kept. */
    private static BigDecimal asKept(BigDecimal indication) {
      return indication.scale() > Decimals.MOST_DECIMALS
          ? indication.setScale(Decimals.MOST_DECIMALS)
          : indication;
    }

    /** The certified value in the unit of an instrument, exactly. */
    BigFraction certified(Unit shown) {
      return Unit.convert(standardValue, unit, shown);
    }

    /** The members whose content differs from another check's, numbers compared by value. */
    List<Fault> differencesFrom(Posted stored) {
      List<Fault> faults = new ArrayList<>();
      compare(faults, "/checkedAt", checkedAt, stored.checkedAt);
      compare(faults, "/standard", standard, stored.standard);
      compare(faults, "/certificate", certificate, stored.certificate);
      compare(faults, "/standardValue", standardValue, stored.standardValue);
      compare(faults, "/unit", unit.code(), stored.unit.code());
      compare(faults, "/asFound", stripped(asFound), stripped(stored.asFound));
      compare(faults, "/asLeft", stripped(asLeft), stripped(stored.asLeft));
      compare(faults, "/onVerification", onVerification, stored.onVerification);
      compare(faults, "/note", note, stored.note);
      return faults;
    }

    private static void compare(
        List<Fault> faults, String pointer, @Nullable Object now, @Nullable Object stored) {
      if (!Objects.equals(now, stored)) {
        faults.add(
            Fault.at(
                pointer,
                "is "
                    + (now == null ? "absent" : now)
                    + " here and "
                    + (stored == null ? "absent" : stored)
                    + " in the stored check"));
      }
    }

    private static List<String> stripped(List<BigDecimal> values) {
      return values.stream().map(value -> value.stripTrailingZeros().toPlainString()).toList();
    }
  }

  /** A check as sent, with its phases judged: each passes when no error is beyond the limit. */
  static InstrumentCheck judged(
      long id,
      long instrument,
      Unit shown,
      Posted posted,
      PermissibleError limit,
      Instant recordedAt,
      String postedBy) {
    return new InstrumentCheck(
        id,
        instrument,
        posted,
        limit,
        judge(posted.asFound(), posted, shown, limit),
        judge(posted.asLeft(), posted, shown, limit),
        recordedAt,
        postedBy,
        null);
  }

  /** Whether it stands or was voided. */
  Standing standing() {
    return voiding == null ? Standing.COUNTED : Standing.VOIDED;
  }

  /** Indication less certified value for each indication, in the unit shown, exactly. */
  List<BigFraction> errors(List<BigDecimal> indications, Unit shown) {
    return errors(indications, posted.certified(shown));
  }

  /** What it says of its instrument. */
  CheckOutcome outcome() {
    return new CheckOutcome(id, posted.checkedAt(), asFound, asLeft);
  }

  private static List<BigFraction> errors(List<BigDecimal> indications, BigFraction certified) {
    return indications.stream()
        .map(indication -> Decimals.fraction(indication).subtract(certified))
        .toList();
  }

  private static @Nullable CheckResult judge(
      List<BigDecimal> indications, Posted posted, Unit shown, PermissibleError limit) {
    if (indications.isEmpty()) {
      return null;
    }
    BigFraction most = limit.in(shown);
    boolean beyond =
        errors(indications, posted.certified(shown)).stream()
            .anyMatch(error -> Decimals.compare(error.abs(), most) > 0);
    return beyond ? CheckResult.FAIL : CheckResult.PASS;
  }
}
