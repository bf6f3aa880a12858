package org.tarebook.chart;

import java.time.Instant;
import java.time.ZoneId;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Coded;
import org.tarebook.plant.Component;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.InstrumentRevision;
import org.tarebook.plant.Line;
import org.tarebook.plant.Product;
import org.tarebook.plant.ShiftCalendar;
import org.tarebook.plant.Shifts;
import org.tarebook.plant.Station;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.MeasuringUncertainty;
import org.tarebook.spec.Revisions;
import org.tarebook.spec.Specification;
import org.tarebook.spec.UncertaintyRevisions;

/**
 * All that readings are understood, judged and charted by, as it stood at one version of the master
 * data: one unchanging picture, held in memory.
 */
public final class Plan {

  private final long version;
  private final Named<Line> lines;
  private final Named<Station> stations;
  private final Named<Instrument> instruments;
  private final Named<Component> components;
  private final Named<Product> products;
  private final Named<Characteristic> characteristics;
  private final Named<Chart> charts;
  private final Map<Long, Revisions> specifications;
  private final Map<Long, Specification> specificationById;
  private final Map<List<Long>, UncertaintyRevisions> uncertainties;
  private final Map<Long, MeasuringUncertainty> uncertaintyById;
  private final Map<List<Long>, Chart> chartInUse = new HashMap<>();
  private final Map<Long, List<Instrument>> instrumentsByStation;
  private final Plans.LongWork longWork;
  private final List<ShiftCalendar> calendars;
  private final ZoneId fallbackZone;
  private final Shifts shifts;
  private final @Nullable ToCome toCome;
  private final Instant known;

  Plan(long version, Plans.Masters masters, List<ShiftCalendar> calendars, ZoneId fallbackZone) {
    this.version = version;
    this.lines = new Named<>("line", masters.lines());
    this.stations = new Named<>("station", masters.stations());
    this.instruments = new Named<>("instrument", masters.instruments());
    this.components = new Named<>("component", masters.components());
    this.products = new Named<>("product", masters.products());
    this.characteristics = new Named<>("characteristic", masters.characteristics());
    this.charts = new Named<>("chart", masters.charts());
    this.specifications =
        masters.specifications().stream()
            .collect(
                Collectors.groupingBy(
                    Specification::characteristicId,
                    Collectors.collectingAndThen(Collectors.toList(), Revisions::new)));
    this.specificationById =
        masters.specifications().stream()
            .collect(Collectors.toMap(Specification::id, Function.identity()));
    this.uncertainties =
        masters.uncertainties().stream()
            .collect(
                Collectors.groupingBy(
                    one -> List.of(one.stationId(), one.characteristicId()),
                    Collectors.collectingAndThen(Collectors.toList(), UncertaintyRevisions::new)));
    this.uncertaintyById =
        masters.uncertainties().stream()
            .collect(Collectors.toMap(MeasuringUncertainty::id, Function.identity()));
    for (Chart chart : masters.charts()) {
      if (!chart.retired()) {
        chartInUse.put(List.of(chart.characteristicId(), chart.lineId()), chart);
      }
    }
    this.instrumentsByStation =
        masters.instruments().stream()
            .filter(instrument -> !instrument.retired())
            .collect(Collectors.groupingBy(Instrument::stationId));
    this.longWork = masters.longWork();
    this.calendars = calendars;
    this.fallbackZone = fallbackZone;
    this.known = Instant.MAX;
    this.shifts = new Shifts(calendars, fallbackZone);
    Shifts then = Shifts.toCome(calendars, fallbackZone);
    this.toCome =
        shifts
            .recut(then)
            .map(recut -> new ToCome(new Plan(this, then, Instant.MAX, longWork), recut.start()))
            .orElse(null);
  }

  private Plan(Plan of, Shifts shifts, Instant known, Plans.LongWork longWork) {
    this.known = known;
    this.version = of.version;
    this.lines = of.lines;
    this.stations = of.stations;
    this.instruments = of.instruments;
    this.components = of.components;
    this.products = of.products;
    this.characteristics = of.characteristics;
    this.charts = of.charts;
    this.specifications = of.specifications;
    this.specificationById = of.specificationById;
    this.uncertainties = of.uncertainties;
    this.uncertaintyById = of.uncertaintyById;
    this.chartInUse.putAll(of.chartInUse);
    this.instrumentsByStation = of.instrumentsByStation;
    this.longWork = longWork;
    this.calendars = of.calendars;
    this.fallbackZone = of.fallbackZone;
    this.shifts = shifts;
    this.toCome = null;
  }

  /**
   * The same with shift calendars that are to come into use when readings have been cut again.
   *
   * @param start the first moment of the earliest shift that they cut otherwise
   */
  public record ToCome(Plan plan, Instant start) {}

  /**
   * What long work was changing at the moment of this plan; absent where nothing was.
   *
   * @param of instruments that are asked for
   * @param judged characteristics that are asked for
   */
  public @Nullable Unsettled unsettled(Predicate<Instrument> of, Predicate<Characteristic> judged) {
    return Unsettled.of(
        codes(longWork.doubted().stream().map(instruments::get).filter(of)),
        codes(longWork.judgedAgain().stream().map(characteristics::get).filter(judged)),
        known.equals(Instant.MAX)
            ? codes(calendars.stream().filter(ShiftCalendar::changing))
            : List.of());
  }

  /** The same of what the readings of a chart rest on. */
  public @Nullable Unsettled unsettled(Chart chart) {
    return unsettled(
        instrument ->
            stations.get(instrument.stationId()).lineId() == chart.lineId()
                && instrument
                    .unit()
                    .sameKindAs(characteristics.get(chart.characteristicId()).unit()),
        characteristic -> characteristic.id() == chart.characteristicId());
  }

  private static List<String> codes(Stream<? extends Coded> things) {
    return things.map(Coded::code).sorted().toList();
  }

  /**
   * Refuses to keep a figure of a chart while doubts are being applied to its readings: it would
   * hold some that are doubted, or lack some that are not.
   *
   * @throws Problem that says which instruments, and to send it again
   */
  public void requireDoubtsApplied(Chart chart) {
    Unsettled unsettled = unsettled(chart);
    List<String> doubted = unsettled == null ? null : unsettled.applyingDoubts();
    if (doubted != null) {
      throw new Problem(
          ProblemType.CONFLICT,
          "Readings of %s are being taken out, or back in, as a check says. Nothing was kept; send the request again when applyingDoubts of the check is FINISHED."
              .formatted(String.join(", ", doubted)));
    }
  }

  /** What is to come while readings are being cut again. */
  public Optional<ToCome> toCome() {
    return Optional.ofNullable(toCome);
  }

  /**
   * The same with the shift calendars that were in use at a moment, and with what was on record
   * then of what instruments can show.
   *
   * @param then what long work was changing at that moment
   */
  Plan asOf(Instant moment, Plans.LongWork then) {
    return new Plan(this, Shifts.asOf(calendars, fallbackZone, moment), moment, then);
  }

  /** The things of one kind, by code and by id. */
  public static final class Named<T extends Coded> {
    private final String word;
    private final Map<String, T> byCode = new HashMap<>();
    private final Map<Long, T> byId = new HashMap<>();

    Named(String word, List<T> things) {
      this.word = word;
      for (T thing : things) {
        byCode.put(thing.code(), thing);
        byId.put(thing.id(), thing);
      }
    }

    /** The thing with this code, if there is one. */
    public Optional<T> find(String code) {
      return Optional.ofNullable(byCode.get(code));
    }

    /** The thing a member of a request names. */
    public T require(String code, String pointer) {
      return find(code).orElseThrow(() -> Problem.unknownCode(pointer, word, code));
    }

    /** The thing with this id. */
    public T get(long id) {
      T thing = byId.get(id);
      if (thing == null) {
        throw new IllegalStateException("Nothing has the id " + id);
      }
      return thing;
    }

    /** Everything, in no order. */
    public Collection<T> all() {
      return byId.values();
    }
  }

  /** The version of the master data it shows. */
  public long version() {
    return version;
  }

  /** The lines. */
  public Named<Line> lines() {
    return lines;
  }

  /** The stations. */
  public Named<Station> stations() {
    return stations;
  }

  /** The instruments. */
  public Named<Instrument> instruments() {
    return instruments;
  }

  /** What an instrument could show at a moment. */
  public InstrumentRevision.Scale scale(Instrument instrument, Instant moment) {
    return instrument.scale(moment, known);
  }

  /** The components. */
  public Named<Component> components() {
    return components;
  }

  /** The products. */
  public Named<Product> products() {
    return products;
  }

  /** The characteristics. */
  public Named<Characteristic> characteristics() {
    return characteristics;
  }

  /** The charts. */
  public Named<Chart> charts() {
    return charts;
  }

  /** The charts in use, in the order of codes. */
  public List<Chart> chartsInUse() {
    return chartInUse.values().stream().sorted(Comparator.comparing(Chart::code)).toList();
  }

  /** The charts in use of a line, in the order of codes. */
  public List<Chart> chartsInUse(Line line) {
    return chartsInUse().stream().filter(chart -> chart.lineId() == line.id()).toList();
  }

  /** The instruments in use at a station. */
  public List<Instrument> instrumentsAt(Station station) {
    return instrumentsByStation.getOrDefault(station.id(), List.of());
  }

  /** The specification in force for a characteristic at a moment. */
  public Optional<Specification> inForce(Characteristic characteristic, Instant moment) {
    return revisions(characteristic).inForce(moment);
  }

  /** The specifications of a characteristic. */
  public Revisions revisions(Characteristic characteristic) {
    return specifications.getOrDefault(characteristic.id(), Revisions.NONE);
  }

  /** A specification by its id, withdrawn ones included. */
  public Specification specification(long id) {
    Specification found = specificationById.get(id);
    if (found == null) {
      throw new IllegalStateException("No specification has the id " + id);
    }
    return found;
  }

  /** The measuring uncertainty in force at a moment, of a station for a characteristic. */
  public Optional<MeasuringUncertainty> uncertainty(
      long stationId, Characteristic characteristic, Instant moment) {
    UncertaintyRevisions revisions = uncertainties.get(List.of(stationId, characteristic.id()));
    return revisions == null ? Optional.empty() : revisions.inForce(moment);
  }

  /** A measuring uncertainty by its id, withdrawn ones included. */
  public MeasuringUncertainty uncertainty(long id) {
    MeasuringUncertainty found = uncertaintyById.get(id);
    if (found == null) {
      throw new IllegalStateException("No measuring uncertainty has the id " + id);
    }
    return found;
  }

  /** The chart in use for a characteristic on the line of a station. */
  public Optional<Chart> chart(Characteristic characteristic, Station station) {
    return Optional.ofNullable(chartInUse.get(List.of(characteristic.id(), station.lineId())));
  }

  /** The plant's shifts. */
  public Shifts shifts() {
    return shifts;
  }
}
