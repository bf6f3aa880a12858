package org.tarebook.control;

import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.RunningTarebook;

/** Two weeks of readings, and shift calendars over them. */
final class MovedShifts {

  static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  static final String CALENDARS = "/api/v1/shift-calendars";

  private MovedShifts() {}

  static Answer calendar(
      RunningTarebook tarebook, String code, String validFrom, String... starts) {
    return tarebook.quality().post(CALENDARS, body(code, validFrom, null, starts));
  }

  static String body(String code, String validFrom, String reason, String... starts) {
    return json(
        "code",
        code,
        "name",
        "Shifts",
        "validFrom",
        validFrom,
        "zone",
        "UTC",
        "reason",
        reason,
        "shifts",
        Stream.of(starts)
            .map(start -> start.split(" "))
            .map(start -> Map.of("name", start[0], "startsAt", start[1] + ":00"))
            .toList());
  }

  /** Two weeks of a strip an hour, with a high quarter of an hour in each night. */
  static ChartBench bench(RunningTarebook tarebook) {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 4);
    bench.specification("4.20", "4.60", "kg");
    List<String> values = new ArrayList<>();
    for (int hour = 0; hour < 14 * 24; hour++) {
      values.add((hour % 24 == 14 || hour % 24 == 15 ? "4.5" : "4.3") + (hour * 37 % 89 + 10));
    }
    bench.postAll(values, "kg", FROM, Duration.ofHours(1));
    return bench;
  }
}
