package org.tarebook.schedule;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.BiFunction;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.Kinetics;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.ScheduleDefinition.Face;
import org.tarebook.schedule.ScheduleDefinition.LayerKind;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.StartsAt;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.Conduction;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.Film;
import org.tarebook.thermal.HeatHistory;
import org.tarebook.thermal.Layer;
import org.tarebook.thermal.Section;
import org.tarebook.thermal.Span;
import org.tarebook.thermal.StatedRange;
import org.tarebook.thermal.Trace;

/** The section of a schedule with the kinetics of its compounds, ready to be heated. */
public final class HeatSection {

  private final List<ScheduleDefinition.Layer> written;
  private final List<Kinetics> kinetics;
  private final List<Layer> layers;
  private final Faces faces;
  private final Film inside;
  private final Film outside;
  private final @Nullable Cooling cooling;
  private final int firstRubber;
  private final int lastRubber;

  private record Faces(Face inside, Face outside) {}

  private record Cooling(double air, Film film, double seconds) {}

  private HeatSection(ScheduleDefinition.Section section, HeatModel.Compounds compounds) {
    written = section.layers();
    kinetics = new ArrayList<>();
    layers = new ArrayList<>();
    int first = -1;
    int last = -1;
    for (int i = 0; i < written.size(); i++) {
      ScheduleDefinition.Layer layer = written.get(i);
      double thickness = layer.thickness().in(Unit.METRE);
      if (layer.kind() == LayerKind.RUBBER) {
        Kinetics its =
            compounds.require(
                Objects.requireNonNull(layer.compound()),
                layer.revision(),
                "/definition/section/layers/" + i + "/compound");
        first = first < 0 ? i : first;
        last = i;
        kinetics.add(its);
        layers.add(
            new Layer(layer.name(), thickness, its.diffusivity(), its.conductivity(), its.law()));
      } else {
        layers.add(
            new Layer(
                layer.name(),
                thickness,
                in(layer.diffusivity(), Unit.SQUARE_METRE_PER_SECOND),
                in(layer.conductivity(), Unit.WATT_PER_METRE_KELVIN),
                null));
      }
    }
    firstRubber = first;
    lastRubber = last;
    faces = new Faces(section.inside(), section.outside());
    inside = film(section.inside());
    outside = film(section.outside());
    ScheduleDefinition.Cooling after = section.afterOpening();
    cooling =
        after == null
            ? null
            : new Cooling(
                after.air().in(Unit.CELSIUS),
                new Film(after.film().in(Unit.WATT_PER_SQUARE_METRE_KELVIN)),
                after.duration().toMillis() / 1000.0);
  }

  private HeatSection(HeatSection of, List<Layer> changed) {
    written = of.written;
    kinetics = of.kinetics;
    layers = changed;
    faces = of.faces;
    inside = of.inside;
    outside = of.outside;
    cooling = of.cooling;
    firstRubber = of.firstRubber;
    lastRubber = of.lastRubber;
  }

  /** The section of a schedule, if it has one. */
  public static Optional<HeatSection> of(
      ScheduleDefinition definition, HeatModel.Compounds compounds) {
    return Optional.ofNullable(definition.section())
        .map(section -> new HeatSection(section, compounds));
  }

  private static double in(@Nullable Quantity quantity, Unit unit) {
    return Objects.requireNonNull(quantity).in(unit);
  }

  private static Film film(Face face) {
    Quantity coefficient = face.film();
    return coefficient == null
        ? Film.PERFECT
        : new Film(coefficient.in(Unit.WATT_PER_SQUARE_METRE_KELVIN));
  }

  /**
   * The coldest that a medium can be, in degrees Celsius: as stated, or else the coldest that the
   * schedule names: of the green tyre, of the air after the opening, of the set points of the face.
   */
  public double coldest(Medium medium, ScheduleDefinition definition) {
    Quantity stated = face(medium).coldest();
    if (stated != null) {
      return stated.in(Unit.CELSIUS);
    }
    double coldest = definition.greenTyre().coldest().in(Unit.CELSIUS);
    coldest = cooling == null ? coldest : Math.min(coldest, cooling.air());
    for (ScheduleDefinition.Step step : definition.steps()) {
      for (ScheduleDefinition.SetPoint point : step.setPoints()) {
        if (medium.isShownBy(point.measured())) {
          coldest = Math.min(coldest, new Quantity(point.lower(), point.unit()).in(Unit.CELSIUS));
        }
      }
    }
    return coldest;
  }

  private Face face(Medium medium) {
    return medium == Medium.INSIDE ? faces.inside() : faces.outside();
  }

  /** The hottest that a medium can be, in degrees Celsius, where the schedule states it. */
  public OptionalDouble hottest(Medium medium) {
    Quantity stated = face(medium).hottest();
    return stated == null ? OptionalDouble.empty() : OptionalDouble.of(stated.in(Unit.CELSIUS));
  }

  /** Whether the schedule says how the tyre cools after opening. */
  public boolean cools() {
    return cooling != null;
  }

  /** Where the rubber begins, in metres from the inner face of the section. */
  double rubberFrom() {
    return thickness(0, firstRubber);
  }

  /** Where the rubber ends, in metres from the inner face of the section. */
  double rubberUntil() {
    return thickness(0, lastRubber + 1);
  }

  /** A place in a layer, in metres from the inner face of the section. */
  double position(String layer, double depth) {
    for (int i = 0; i < layers.size(); i++) {
      if (layers.get(i).name().equals(layer)) {
        return thickness(0, i) + depth * layers.get(i).thickness();
      }
    }
    throw new IllegalArgumentException("There is no layer " + layer);
  }

  private double thickness(int from, int until) {
    double sum = 0;
    for (int i = from; i < until; i++) {
      sum += layers.get(i).thickness();
    }
    return sum;
  }

  /**
   * The same with the diffusivity of one compound lower by a standard uncertainty, once for each
   * compound whose diffusivity is uncertain. The conductivity stays as it is stated. Layers of one
   * revision of a compound change together.
   */
  List<HeatSection> slower() {
    return kinetics.stream()
        .distinct()
        .filter(compound -> compound.diffusivityError() > 0)
        .map(this::slower)
        .toList();
  }

  private HeatSection slower(Kinetics compound) {
    return changed(
        (its, layer) ->
            its.equals(compound)
                ? new Layer(
                    layer.name(),
                    layer.thickness(),
                    layer.diffusivity() / (1 + its.diffusivityError()),
                    layer.conductivity(),
                    layer.law())
                : layer);
  }

  /** The same with every activation energy higher by so many of its standard uncertainties. */
  HeatSection withEnergy(double standardUncertainties) {
    return changed((its, layer) -> layer.curedBy(shifted(its, layer.law(), standardUncertainties)));
  }

  /**
   * The same, with credit only where rubber is within the temperatures that its kinetics are stated
   * for, told within an error in kelvin.
   */
  HeatSection credited(double error) {
    return inRange(
        (law, range) -> StatedRange.credited(law, range.lowest(), range.highest(), error));
  }

  /** The same, with rubber colder than its kinetics are stated for curing as at their lower end. */
  HeatSection allowed() {
    return inRange(
        (law, range) ->
            new StatedRange(law, range.lowest(), range.highest(), StatedRange.Bound.UPPER));
  }

  private HeatSection inRange(BiFunction<CureLaw, Kinetics.Range, CureLaw> bounded) {
    return changed(
        (its, layer) -> {
          Kinetics.Range range = its.range();
          CureLaw law = layer.law();
          return range == null || law == null ? layer : layer.curedBy(bounded.apply(law, range));
        });
  }

  /**
   * Whether any rubber was hotter than its kinetics are stated for, up to a mark, if it was hotter
   * than told by an error in kelvin.
   */
  boolean beyondRange(HeatHistory history, int mark, double error) {
    return IntStream.range(0, kinetics.size())
        .anyMatch(layer -> above(layer, history.hottestOf(layer, mark) + error));
  }

  /** The same of the rubber at a place. */
  boolean beyondRange(HeatHistory history, int mark, double position, double error) {
    int layer = history.layers().indexOf(history.layerAt(position));
    return above(layer, history.hottestAt(position, mark) + error);
  }

  private boolean above(int layer, double celsius) {
    Kinetics.Range range = kinetics.get(layer).range();
    return range != null && celsius > range.highest();
  }

  /** The kinetics of the rubber layers, from the inside. */
  public KineticsUsed kinetics() {
    return new KineticsUsed(kinetics);
  }

  private static @Nullable CureLaw shifted(
      Kinetics its, @Nullable CureLaw law, double standardUncertainties) {
    Double error = its.energyError();
    return law instanceof Arrhenius arrhenius && error != null
        ? new Arrhenius(
            arrhenius.joulesPerMole() + standardUncertainties * error, arrhenius.referenceCelsius())
        : law;
  }

  private interface Change {
    Layer of(Kinetics its, Layer layer);
  }

  private HeatSection changed(Change change) {
    List<Layer> changed = new ArrayList<>(layers);
    for (int i = firstRubber; i <= lastRubber; i++) {
      changed.set(i, change.of(kinetics.get(i - firstRubber), layers.get(i)));
    }
    return new HeatSection(this, changed);
  }

  /**
   * Heats the section from second 0: pressed until the opening, then in air where the schedule says
   * how.
   *
   * @param insideMedium temperature of the medium inside, in degrees Celsius
   * @param outsideMedium temperature outside the mould, in degrees Celsius
   * @param green temperature of the green tyre, in degrees Celsius
   * @param release when the pressure is let go, in seconds
   * @param opening when the press opens, in seconds
   */
  HeatHistory heat(
      Trace insideMedium, Trace outsideMedium, double green, double release, double opening) {
    List<Span> spans = new ArrayList<>();
    spans.add(
        new Span(0, opening, 0, layers.size() - 1, insideMedium, inside, outsideMedium, outside));
    double end = opening;
    if (cooling != null) {
      end = opening + cooling.seconds();
      Trace air = Trace.constant(cooling.air());
      spans.add(
          new Span(
              opening, end, firstRubber, lastRubber, air, cooling.film(), air, cooling.film()));
    }
    return Conduction.solve(
        new Section(layers),
        spans,
        initial(green, insideMedium.at(0), outsideMedium.at(0)),
        new double[] {Math.min(release, opening), opening, end});
  }

  /**
   * Heats the section from second 0 in a press that does not open.
   *
   * @param insideMedium temperature of the medium inside, in degrees Celsius
   * @param outsideMedium temperature outside the mould, in degrees Celsius
   * @param green temperature of the green tyre, in degrees Celsius
   * @param marks at which the equivalents are kept, in seconds, increasing; it ends at the last
   */
  HeatHistory pressed(Trace insideMedium, Trace outsideMedium, double green, double[] marks) {
    return Conduction.solve(
        new Section(layers),
        List.of(
            new Span(
                0,
                marks[marks.length - 1],
                0,
                layers.size() - 1,
                insideMedium,
                inside,
                outsideMedium,
                outside)),
        initial(green, insideMedium.at(0), outsideMedium.at(0)),
        marks);
  }

  private double[] initial(double green, double insideStart, double outsideStart) {
    double[] initial = new double[layers.size()];
    for (int i = 0; i < initial.length; i++) {
      StartsAt startsAt = written.get(i).startsAt();
      initial[i] =
          startsAt == StartsAt.INSIDE
              ? insideStart
              : startsAt == StartsAt.OUTSIDE ? outsideStart : green;
    }
    return initial;
  }

  /** A change of a trace in its whole. */
  static Trace shifted(Trace trace, double by) {
    DoubleUnaryOperator shift = celsius -> celsius + by;
    return trace.map(shift);
  }
}
