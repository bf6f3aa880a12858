package org.tarebook.check;

import java.time.Instant;
import java.util.List;
import org.apache.commons.numbers.fraction.BigFraction;
import org.springframework.stereotype.Component;
import org.tarebook.plant.Instrument;

/** What checks found of instruments before anything was adjusted. */
@Component
public class FoundErrors {

  private final CheckStore store;

  FoundErrors(CheckStore store) {
    this.store = store;
  }

  /**
   * What one check found; errors are indication less certified value, in the instrument's unit.
   *
   * @param indications how many
   * @param meanError their mean error, exact
   * @param limit the largest error let pass, plus and minus
   * @param passed whether no error was beyond the limit
   * @param adjusted whether the instrument was adjusted at the check
   */
  public record FoundError(
      long check,
      Instant at,
      String standard,
      String certificate,
      int indications,
      BigFraction meanError,
      double limit,
      boolean passed,
      boolean adjusted) {}

  /** The as-found errors of an instrument in a window, all standards, in the order of time. */
  public List<FoundError> of(Instrument instrument, Instant from, Instant before) {
    return store.asFound(instrument.id(), from, before).stream()
        .map(check -> found(check, instrument))
        .toList();
  }

  private static FoundError found(InstrumentCheck check, Instrument instrument) {
    InstrumentCheck.Posted posted = check.posted();
    List<BigFraction> errors = check.errors(posted.asFound(), instrument.unit());
    return new FoundError(
        check.id(),
        posted.checkedAt(),
        posted.standard(),
        posted.certificate(),
        errors.size(),
        errors.stream().reduce(BigFraction.ZERO, BigFraction::add).divide(errors.size()),
        check.limit().in(instrument.unit()).doubleValue(),
        check.asFound() == CheckResult.PASS,
        !posted.asLeft().isEmpty());
  }
}
