package org.tarebook.schedule;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.ScheduleDefinition.Layer;
import org.tarebook.schedule.ScheduleDefinition.LayerKind;
import org.tarebook.schedule.ScheduleDefinition.Section;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.thermal.Saturation;

/** What a schedule must be to be recorded: in order, physically possible, and able to be met. */
@Component
class ScheduleRules {

  private static final String AT = "/definition";
  private static final double STANDARD_AIR = 101.325;

  private final CompoundKinetics kinetics;

  ScheduleRules(CompoundKinetics kinetics) {
    this.kinetics = kinetics;
  }

  /**
   * Refuses a definition that cannot hold, telling every fault.
   *
   * @param doubtful whether a person accepts that a load which meets its targets exactly is not
   *     judged good
   */
  void check(ScheduleDefinition definition, boolean doubtful) {
    Faults faults = new Faults();
    positive(definition.largestGap(), AT + "/largestGap", faults);
    if (definition.longestFlat() != null) {
      positive(definition.longestFlat(), AT + "/longestFlat", faults);
    }
    Set<String> names = new HashSet<>();
    int last = -1;
    for (int i = 0; i < definition.steps().size(); i++) {
      Step step = definition.steps().get(i);
      String place = AT + "/steps/" + i;
      if (!names.add(step.name())) {
        faults.add(place + "/name", "'" + step.name() + "' stands twice; marks go by names");
      }
      boolean open = !step.kind().inPress();
      if (open) {
        last = i;
      } else if (last >= 0) {
        faults.add(place + "/kind", step.kind() + " cannot come after the press has opened");
      }
      check(step, place, faults);
    }
    differences(definition, faults);
    greenTyre(definition, faults);
    if (definition.section() != null) {
      check(definition.section(), faults);
    }
    WantedRules.check(definition, faults);
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    new OwnTargets(new DryRun(definition, kinetics)).require(doubtful);
  }

  private static void positive(Duration duration, String place, Faults faults) {
    if (duration.isNegative() || duration.isZero()) {
      faults.add(place, "must be positive, for example PT10S");
    }
  }

  private static void check(Step step, String place, Faults faults) {
    if (step.least().isNegative()) {
      faults.add(place + "/least", "must not be negative");
    }
    if (step.least().compareTo(step.target()) > 0) {
      faults.add(place + "/least", "is longer than the target " + step.target());
    }
    if (step.target().compareTo(step.most()) > 0) {
      faults.add(place + "/most", "is shorter than the target " + step.target());
    }
    for (int i = 0; i < step.setPoints().size(); i++) {
      check(step, step.setPoints().get(i), place + "/setPoints/" + i, faults);
    }
    water(step, place, faults);
    steam(step, Measured.INTERNAL_TEMPERATURE, Measured.INTERNAL_PRESSURE, place, faults);
    steam(step, Measured.DOME_TEMPERATURE, Measured.DOME_PRESSURE, place, faults);
  }

  private static void check(Step step, SetPoint point, String place, Faults faults) {
    Unit unit = Units.require(point.unit(), place + "/unit");
    Physical physical = point.measured().physical();
    if (point.lower().compareTo(point.upper()) > 0) {
      faults.add(place + "/lower", "is above the upper limit " + point.upper());
    } else if (point.target().compareTo(point.lower()) < 0
        || point.target().compareTo(point.upper()) > 0) {
      faults.add(place + "/target", "lies outside " + point.lower() + " to " + point.upper());
    }
    if (physical == Physical.TEMPERATURE) {
      Units.requireOfKind(point.unit(), Unit.CELSIUS, place + "/unit");
      double hot = new Quantity(point.upper(), point.unit()).in(Unit.CELSIUS);
      double cold = new Quantity(point.lower(), point.unit()).in(Unit.CELSIUS);
      if (cold < 0 || hot > 350) {
        faults.add(
            place + "/upper",
            "is outside what water, steam or a press can have (0 to 350 °C); check the unit");
      }
    }
    if (physical == Physical.PRESSURE) {
      Units.requireOfKind(point.unit(), Unit.KILOPASCAL, place + "/unit");
      if (point.pressure() == null) {
        faults.add(place + "/pressure", "is needed: GAUGE or ABSOLUTE");
      } else if (kiloPascal(point, point.lower()) < 0) {
        faults.add(place + "/lower", "lies below vacuum");
      }
    } else if (point.pressure() != null) {
      faults.add(place + "/pressure", "belongs to pressures");
    }
    if (physical == Physical.CLAMPING
        && !unit.sameKindAs(Unit.KILOPASCAL)
        && !unit.sameKindAs(Unit.KILONEWTON)) {
      faults.add(place + "/unit", "of clamping is a pressure or a force");
    }
    if (point.settle() != null && point.settle().isNegative()) {
      faults.add(place + "/settle", "must not be negative");
    } else if (point.settle() != null && point.settle().compareTo(step.least()) >= 0) {
      faults.add(
          place + "/settle",
          "is as long as the step may take at least ("
              + step.least()
              + "): the set point would never be looked at");
    }
    if (point.tolerated() != null && point.tolerated().isNegative()) {
      faults.add(place + "/tolerated", "must not be negative");
    } else if (point.tolerated() != null && point.tolerated().compareTo(step.least()) >= 0) {
      faults.add(
          place + "/tolerated",
          "is as long as the step may take at least ("
              + step.least()
              + "): the set point would never be missed");
    }
    Duration total = point.toleratedTotal();
    Duration each = point.tolerated() == null ? Duration.ZERO : point.tolerated();
    if (total != null && total.compareTo(each) < 0) {
      faults.add(
          place + "/toleratedTotal",
          "(" + total + ") must be at least as long as tolerated (" + each + ") of one excursion");
    }
  }

  /** A value of a pressure set point, absolute; gauge pressures at standard air. */
  static double kiloPascal(SetPoint point, BigDecimal limit) {
    double shown = new Quantity(limit, point.unit()).in(Unit.KILOPASCAL);
    return point.pressure() == PressureKind.GAUGE ? shown + STANDARD_AIR : shown;
  }

  private static @Nullable SetPoint of(Step step, Measured measured) {
    return step.setPoints().stream()
        .filter(point -> point.measured() == measured)
        .filter(point -> measured.physical() == Physical.TEMPERATURE || point.pressure() != null)
        .findFirst()
        .orElse(null);
  }

  /** Hot water must stay below boiling at the least pressure its schedule lets it have. */
  private static void water(Step step, String place, Faults faults) {
    SetPoint temperature = of(step, Measured.INTERNAL_TEMPERATURE);
    SetPoint pressure = of(step, Measured.INTERNAL_PRESSURE);
    if (step.kind() != StepKind.HOT_WATER || temperature == null || pressure == null) {
      return;
    }
    double hottest = new Quantity(temperature.upper(), temperature.unit()).in(Unit.CELSIUS);
    double least = kiloPascal(pressure, pressure.lower());
    if (hottest >= 0.01 && hottest <= 373 && least <= Saturation.kiloPascalAt(hottest)) {
      faults.add(
          place + "/setPoints",
          "cannot be met: water of "
              + temperature.upper()
              + " "
              + Unit.of(temperature.unit()).label()
              + " boils at the lower pressure limit; it needs more than "
              + Math.round(Saturation.kiloPascalAt(hottest))
              + " kPa absolute");
    }
  }

  /** Saturated steam has one temperature for each pressure: the bands must have one in common. */
  private static void steam(
      Step step, Measured hot, Measured pressed, String place, Faults faults) {
    SetPoint temperature = of(step, hot);
    SetPoint pressure = of(step, pressed);
    boolean steam = hot == Measured.DOME_TEMPERATURE || step.kind() == StepKind.INTERNAL_STEAM;
    if (!steam || temperature == null || pressure == null) {
      return;
    }
    double least = kiloPascal(pressure, pressure.lower());
    double most = kiloPascal(pressure, pressure.upper());
    double cold = new Quantity(temperature.lower(), temperature.unit()).in(Unit.CELSIUS);
    double hotter = new Quantity(temperature.upper(), temperature.unit()).in(Unit.CELSIUS);
    if (least < 1 || most > 22000) {
      return;
    }
    double from = Saturation.celsiusAt(least);
    double until = Saturation.celsiusAt(most);
    if (hotter < from || cold > until) {
      faults.add(
          place + "/setPoints",
          "cannot be met: saturated steam of that "
              + pressed.words()
              + " has "
              + Math.round(from * 10) / 10.0
              + " to "
              + Math.round(until * 10) / 10.0
              + " °C, and wanted is "
              + Math.round(cold * 10) / 10.0
              + " to "
              + Math.round(hotter * 10) / 10.0
              + " °C; check whether the pressure is gauge or absolute");
    }
  }

  private static void differences(ScheduleDefinition definition, Faults faults) {
    difference(
        definition.mostInsideOutside(), Unit.KELVIN_DIFFERENCE, "/mostInsideOutside", faults);
    difference(
        definition.mostDomeDepression(), Unit.KELVIN_DIFFERENCE, "/mostDomeDepression", faults);
    difference(definition.leastWaterMargin(), Unit.KELVIN_DIFFERENCE, "/leastWaterMargin", faults);
    difference(definition.leastCirculation(), Unit.KILOPASCAL, "/leastCirculation", faults);
  }

  private static void difference(
      @Nullable Quantity quantity, Unit kind, String place, Faults faults) {
    if (quantity != null && quantity.in(kind, AT + place) < 0) {
      faults.add(AT + place + "/value", "must not be negative");
    }
  }

  private static void greenTyre(ScheduleDefinition definition, Faults faults) {
    double coldest = definition.greenTyre().coldest().in(Unit.CELSIUS, AT + "/greenTyre/coldest");
    double warmest = definition.greenTyre().warmest().in(Unit.CELSIUS, AT + "/greenTyre/warmest");
    if (coldest > warmest) {
      faults.add(AT + "/greenTyre/coldest", "is above the warmest; exchange them");
    }
    if (coldest < -40 || warmest > 120) {
      faults.add(AT + "/greenTyre", "a green tyre has -40 to 120 °C; check the units");
    }
    if (definition.greenTyre().oldest() != null) {
      positive(definition.greenTyre().oldest(), AT + "/greenTyre/oldest", faults);
    }
  }

  private static void check(Section section, Faults faults) {
    Set<String> names = new HashSet<>();
    int first = -1;
    int last = -1;
    for (int i = 0; i < section.layers().size(); i++) {
      Layer layer = section.layers().get(i);
      String place = AT + "/section/layers/" + i;
      if (!names.add(layer.name())) {
        faults.add(place + "/name", "'" + layer.name() + "' stands twice");
      }
      positive(layer.thickness(), Unit.METRE, place + "/thickness", faults);
      if (layer.kind() == LayerKind.RUBBER) {
        if (layer.compound() == null) {
          faults.add(place + "/compound", "is needed of rubber: its kinetics are of the compound");
        }
        if (layer.diffusivity() != null || layer.conductivity() != null) {
          faults.add(place + "/diffusivity", "of rubber stands with its compound; leave it out");
        }
        if (last >= 0 && last < i - 1) {
          faults.add(place + "/kind", "rubber layers must lie side by side");
        }
        first = first < 0 ? i : first;
        last = i;
      } else {
        if (layer.compound() != null) {
          faults.add(place + "/compound", "belongs to rubber");
        }
        required(layer.diffusivity(), Unit.SQUARE_METRE_PER_SECOND, place + "/diffusivity", faults);
        required(layer.conductivity(), Unit.WATT_PER_METRE_KELVIN, place + "/conductivity", faults);
      }
    }
    if (first < 0) {
      faults.add(AT + "/section/layers", "holds no rubber; nothing would cure");
    }
    face(section.inside(), AT + "/section/inside", faults);
    face(section.outside(), AT + "/section/outside", faults);
    ScheduleDefinition.Cooling cooling = section.afterOpening();
    if (cooling != null) {
      cooling.air().in(Unit.CELSIUS, AT + "/section/afterOpening/air");
      positive(
          cooling.film(),
          Unit.WATT_PER_SQUARE_METRE_KELVIN,
          AT + "/section/afterOpening/film",
          faults);
      positive(cooling.duration(), AT + "/section/afterOpening/duration", faults);
    }
  }

  private static void face(ScheduleDefinition.Face face, String place, Faults faults) {
    boolean couple = Boolean.TRUE.equals(face.faceCouple());
    if (couple == (face.film() != null)) {
      faults.add(
          place,
          "give either film, the heat transfer coefficient between medium and face, or faceCouple"
              + " true where the sensor lies in the face; taking the medium for the face errs"
              + " unsafe");
    }
    if (face.film() != null) {
      positive(face.film(), Unit.WATT_PER_SQUARE_METRE_KELVIN, place + "/film", faults);
    }
    double coldest =
        face.coldest() == null
            ? Double.NEGATIVE_INFINITY
            : face.coldest().in(Unit.CELSIUS, place + "/coldest");
    double hottest =
        face.hottest() == null
            ? Double.POSITIVE_INFINITY
            : face.hottest().in(Unit.CELSIUS, place + "/hottest");
    if (coldest >= hottest) {
      faults.add(place + "/coldest", "must be below hottest; exchange them, or look at the units");
    }
  }

  private static void required(
      @Nullable Quantity quantity, Unit kind, String place, Faults faults) {
    if (quantity == null) {
      faults.add(place, "is needed of a layer that is no rubber");
    } else {
      positive(quantity, kind, place, faults);
    }
  }

  private static void positive(Quantity quantity, Unit kind, String place, Faults faults) {
    if (quantity.in(kind, place) <= 0) {
      faults.add(place + "/value", "must be above 0, was " + quantity.value().toPlainString());
    }
  }
}
