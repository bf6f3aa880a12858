package org.tarebook.chart;

import jakarta.persistence.EntityManager;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.context.event.EventListener;
import org.springframework.stereotype.Service;
import org.springframework.transaction.support.TransactionSynchronizationManager;
import org.tarebook.plant.Component;
import org.tarebook.plant.Components;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Line;
import org.tarebook.plant.Lines;
import org.tarebook.plant.Product;
import org.tarebook.plant.Products;
import org.tarebook.plant.ShiftCalendars;
import org.tarebook.plant.Station;
import org.tarebook.plant.Stations;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Characteristics;
import org.tarebook.spec.MeasuringUncertainties;
import org.tarebook.spec.MeasuringUncertainty;
import org.tarebook.spec.Specification;
import org.tarebook.spec.Specifications;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.DatabaseReopened;
import org.tarebook.storage.MasterVersion;

/**
 * Gives the current {@link Plan}. One cheap query tells whether the one in memory is still current,
 * so every copy of the service sees a change in its next transaction.
 */
@Service
public class Plans {

  /**
   * The catch-up by which readings follow doubts about their instruments. It counts as a change of
   * master data when it begins and when it ends, so that the plan knows where it goes on.
   */
  public static final String APPLYING_DOUBTS = "applying doubts to readings";

  /** The catch-up by which readings follow specifications and uncertainties; likewise. */
  public static final String JUDGING_AGAIN = "judging readings again";

  private final MasterVersion masterVersion;
  private final Lines lines;
  private final Stations stations;
  private final Instruments instruments;
  private final Components components;
  private final Products products;
  private final ShiftCalendars calendars;
  private final Characteristics characteristics;
  private final Specifications specifications;
  private final MeasuringUncertainties uncertainties;
  private final Charts charts;
  private final CatchUps catchUps;
  private final EntityManager entities;
  private final ZoneId fallbackZone;
  private volatile @Nullable Plan held;

  Plans(
      MasterVersion masterVersion,
      Lines lines,
      Stations stations,
      Instruments instruments,
      Components components,
      Products products,
      ShiftCalendars calendars,
      Characteristics characteristics,
      Specifications specifications,
      MeasuringUncertainties uncertainties,
      Charts charts,
      CatchUps catchUps,
      EntityManager entities,
      @Value("${tarebook.zone}") ZoneId fallbackZone) {
    this.masterVersion = masterVersion;
    this.lines = lines;
    this.stations = stations;
    this.instruments = instruments;
    this.components = components;
    this.products = products;
    this.calendars = calendars;
    this.characteristics = characteristics;
    this.specifications = specifications;
    this.uncertainties = uncertainties;
    this.charts = charts;
    this.catchUps = catchUps;
    this.entities = entities;
    this.fallbackZone = fallbackZone;
  }

  /**
   * What long work is changing, or was at a moment.
   *
   * @param doubted the instruments to whose readings doubts are being applied
   * @param judgedAgain the characteristics whose readings are being judged again
   */
  record LongWork(Set<Long> doubted, Set<Long> judgedAgain) {}

  /** All master data. */
  record Masters(
      List<Line> lines,
      List<Station> stations,
      List<Instrument> instruments,
      List<Component> components,
      List<Product> products,
      List<Characteristic> characteristics,
      List<Chart> charts,
      List<Specification> specifications,
      List<MeasuringUncertainty> uncertainties,
      LongWork longWork) {}

  /**
   * A plan with the shift calendars that were in use at a moment, and with what was on record then
   * of what instruments can show.
   *
   * @param moment {@link Instant#MAX} for now
   */
  public Plan asOf(Plan now, Instant moment) {
    return moment.equals(Instant.MAX)
        ? now
        : now.asOf(
            moment,
            new LongWork(
                catchUps.unfinishedAt(APPLYING_DOUBTS, moment),
                catchUps.unfinishedAt(JUDGING_AGAIN, moment)));
  }

  /**
   * The plan as the current transaction sees it. A report that began before a change does not put
   * its earlier plan in the place of the current one, or postings would find that one stale; nor
   * does a transaction that has changed the master data itself and may yet be undone.
   */
  public Plan current() {
    long version = masterVersion.read();
    Plan plan = held;
    if (plan != null && plan.version() == version) {
      return plan;
    }
    Plan fresh = load(version);
    boolean earlierPicture =
        plan != null
            && version < plan.version()
            && TransactionSynchronizationManager.isCurrentTransactionReadOnly();
    if (!earlierPicture && !masterVersion.bumpedHere() && masterVersion.read() == version) {
      held = fresh;
    }
    return fresh;
  }

  /**
   * The plan in memory, without asking whether it is still current. For those who ask later, under
   * their locks.
   */
  public Plan held() {
    Plan plan = held;
    return plan == null ? current() : plan;
  }

  /**
   * The plan as a transaction sees it that has changed the master data itself. Not held: the
   * transaction may yet be undone.
   */
  public Plan fresh() {
    return load(masterVersion.read());
  }

  /** Loads the plan anew next time: its version may have been given again since. */
  @EventListener(DatabaseReopened.class)
  public void forget() {
    held = null;
  }

  /**
   * Reads the rows anew: what the transaction has read before would be taken as it was then, and
   * what it changes afterwards would change the plan.
   */
  private Plan load(long version) {
    boolean writes =
        TransactionSynchronizationManager.isActualTransactionActive()
            && !TransactionSynchronizationManager.isCurrentTransactionReadOnly();
    if (!writes) {
      return read(version);
    }
    entities.flush();
    entities.clear();
    Plan plan = read(version);
    entities.clear();
    return plan;
  }

  private Plan read(long version) {
    Masters masters =
        new Masters(
            lines.all(),
            stations.all(),
            instruments.all(),
            components.all(),
            products.all(),
            characteristics.all(),
            charts.all(),
            specifications.every(),
            uncertainties.every(),
            new LongWork(catchUps.unfinished(APPLYING_DOUBTS), catchUps.unfinished(JUDGING_AGAIN)));
    return new Plan(version, masters, calendars.all(), fallbackZone);
  }
}
