package org.tarebook.schedule;

import java.math.BigDecimal;
import java.util.HashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.ScheduleDefinition.LayerKind;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.ScheduleDefinition.Section;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;

/** What a schedule may want of places in the tyre and of media. */
final class WantedRules {

  private static final String AT = "/definition";

  private static final Set<String> RESERVED = Set.of("SLOWEST", "FASTEST");

  private WantedRules() {}

  /** Tells every fault of what is wanted. */
  static void check(ScheduleDefinition definition, Faults faults) {
    wanted(definition, faults);
    media(definition, faults);
  }

  private static void wanted(ScheduleDefinition definition, Faults faults) {
    Section section = definition.section();
    if (section == null && !definition.wantedOrNone().isEmpty()) {
      faults.add(AT + "/wanted", "needs a section to be computed in");
    }
    if (section == null && definition.blowPoint() != null) {
      faults.add(AT + "/blowPoint", "needs a section to be computed in");
    }
    Set<String> names = new HashSet<>();
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      Wanted wanted = definition.wantedOrNone().get(i);
      String place = AT + "/wanted/" + i;
      if (!names.add(wanted.name() + wanted.until())) {
        faults.add(place + "/name", "'" + wanted.name() + "' stands twice for the same end");
      }
      limits(wanted.minimum(), wanted.maximum(), place, faults);
      boolean inLayer = wanted.place() == Place.IN_LAYER;
      if (inLayer != (wanted.layer() != null)) {
        faults.add(place + "/layer", inLayer ? "is needed with IN_LAYER" : "belongs to IN_LAYER");
      } else if (wanted.layer() != null
          && section != null
          && section.layers().stream()
              .noneMatch(
                  layer ->
                      layer.kind() == LayerKind.RUBBER && layer.name().equals(wanted.layer()))) {
        faults.add(
            place + "/layer", "'" + wanted.layer() + "' must be a rubber layer of the section");
      }
      if (wanted.until() == Until.END && section != null && section.afterOpening() == null) {
        faults.add(place + "/until", "END needs afterOpening in the section");
      }
    }
  }

  private static void media(ScheduleDefinition definition, Faults faults) {
    Set<String> names = new HashSet<>();
    definition.wantedOrNone().forEach(wanted -> names.add(wanted.name() + wanted.until()));
    for (int i = 0; i < definition.mediaOrNone().size(); i++) {
      WantedOfMedium wanted = definition.mediaOrNone().get(i);
      String place = AT + "/media/" + i;
      if (!names.add(wanted.name() + wanted.until())) {
        faults.add(place + "/name", "'" + wanted.name() + "' stands twice for the same end");
      }
      limits(wanted.minimum(), wanted.maximum(), place, faults);
      if (wanted.until() == Until.END) {
        faults.add(place + "/until", "of a medium is RELEASE or OPENING: then it has left");
      }
      if (RESERVED.contains(wanted.name())) {
        faults.add(place + "/name", "SLOWEST and FASTEST are places of the tyre; choose another");
      }
      if (wanted.hottest() != null) {
        double stated = wanted.hottest().in(Unit.CELSIUS, place + "/hottest");
        double upper = highest(definition, wanted);
        if (stated < upper) {
          faults.add(
              place + "/hottest",
              "is below %s °C, which its set points let it have"
                  .formatted(Math.round(upper * 10) / 10.0));
        }
      }
    }
  }

  /** The highest that set points let a medium have, in degrees Celsius. */
  private static double highest(ScheduleDefinition definition, WantedOfMedium wanted) {
    return definition.steps().stream()
        .flatMap(step -> step.setPoints().stream())
        .filter(point -> wanted.medium().isShownBy(point.measured()))
        .mapToDouble(point -> new Quantity(point.upper(), point.unit()).in(Unit.CELSIUS))
        .max()
        .orElse(Double.NEGATIVE_INFINITY);
  }

  private static void limits(
      @Nullable BigDecimal minimum, @Nullable BigDecimal maximum, String place, Faults faults) {
    if (minimum == null && maximum == null) {
      faults.add(place + "/minimum", "or maximum is needed");
    } else if (minimum != null && maximum != null && minimum.compareTo(maximum) > 0) {
      faults.add(place + "/minimum", "is above the maximum " + maximum);
    }
  }
}
