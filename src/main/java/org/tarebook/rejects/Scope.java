package org.tarebook.rejects;

import java.util.Collection;
import java.util.List;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.http.Problem;
import org.tarebook.plant.Coded;
import org.tarebook.plant.ShiftCalendar;
import org.tarebook.plant.Station;
import org.tarebook.spec.Characteristic;

/**
 * Which readings a question looks at, in ids of the plan. Lines, components, products and
 * characteristics narrow the readings; station, die and shift narrow the items, by the first judged
 * reading, among the readings of the station's line.
 *
 * @param stationIds stations whose readings are looked at; absent: all
 * @param characteristicIds characteristics whose readings are looked at; absent: all
 * @param cures whether cures are looked at: not where a component or characteristic narrows
 * @param productId the product that the cures' schedules are for; absent: any
 * @param stationId the station of an item's first judged reading; absent: any
 */
record Scope(
    @Nullable Collection<Long> stationIds,
    @Nullable Collection<Long> characteristicIds,
    boolean cures,
    @Nullable Long productId,
    @Nullable Long stationId) {

  /**
   * Finds what a question names.
   *
   * @throws Problem where it names what is not recorded
   */
  static Scope of(Plan plan, RateQuestion.Narrowing narrowing, List<ShiftCalendar> calendars) {
    Long line = id(plan.lines(), "line", narrowing.line());
    Long stationId = id(plan.stations(), "station", narrowing.station());
    Long component = id(plan.components(), "component", narrowing.component());
    Long product = id(plan.products(), "product", narrowing.product());
    Long characteristic = id(plan.characteristics(), "characteristic", narrowing.characteristic());
    requireShift(narrowing.shift(), calendars);
    Long lineOfStation = stationId == null ? null : (Long) plan.stations().get(stationId).lineId();
    Predicate<Station> stations =
        station ->
            (line == null || line == station.lineId())
                && (lineOfStation == null || lineOfStation == station.lineId());
    Predicate<Characteristic> characteristics =
        candidate ->
            (component == null || component.equals(candidate.componentId()))
                && (product == null || product.equals(candidate.productId()))
                && (characteristic == null || characteristic == candidate.id());
    boolean anyCharacteristic = component == null && product == null && characteristic == null;
    return new Scope(
        line == null && stationId == null ? null : ids(plan.stations(), stations),
        anyCharacteristic ? null : ids(plan.characteristics(), characteristics),
        component == null && characteristic == null,
        product,
        stationId);
  }

  private static @Nullable Long id(
      Plan.Named<? extends Coded> things, String word, @Nullable String code) {
    return code == null
        ? null
        : (Long) things.find(code).orElseThrow(() -> Problem.unknownCode(word, word, code)).id();
  }

  private static <T extends Coded> List<Long> ids(Plan.Named<T> things, Predicate<T> wanted) {
    return things.all().stream().filter(wanted).map(Coded::id).sorted().toList();
  }

  private static void requireShift(@Nullable String shift, List<ShiftCalendar> calendars) {
    TreeSet<String> names =
        calendars.stream()
            .flatMap(calendar -> calendar.shifts().stream())
            .map(ShiftCalendar.Start::name)
            .collect(Collectors.toCollection(TreeSet::new));
    names.add("day");
    if (shift != null && !names.contains(shift)) {
      throw Problem.at(
          org.tarebook.http.ProblemType.UNKNOWN_CODE,
          "shift",
          "There is no shift '"
              + shift
              + "'; the calendars have "
              + String.join(", ", names)
              + ".");
    }
  }

  /** Whether no reading and no cure can be in it. */
  boolean empty() {
    return (stationIds != null && stationIds.isEmpty())
        || (characteristicIds != null && characteristicIds.isEmpty() && !cures);
  }
}
