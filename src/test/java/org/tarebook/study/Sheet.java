package org.tarebook.study;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

/** A shop floor with a chart of any kind, to which series of readings are posted. */
record Sheet(RunningTarebook tarebook, ShopFloor floor, String characteristic, String chart) {

  static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  /** A fresh floor with one chart. */
  static Sheet of(RunningTarebook tarebook, String unit, String found, String kind, int size) {
    return of(tarebook, new ShopFloor(tarebook, unit), unit, found, kind, size);
  }

  /** A further chart on a floor. */
  static Sheet of(
      RunningTarebook tarebook, ShopFloor floor, String unit, String found, String kind, int size) {
    String characteristic = Codes.fresh("C");
    floor.characteristic(characteristic, unit, found);
    return new Sheet(tarebook, floor, characteristic, floor.chart(characteristic, kind, size));
  }

  /** Posts readings, a minute apart. */
  Sheet post(List<String> values, String unit, Instant from) {
    List<String> lines = new ArrayList<>();
    Instant at = from;
    for (String value : values) {
      lines.add(
          floor.posting(
              new BigDecimal(value), unit, at.toString(), "characteristic", characteristic));
      at = at.plus(Duration.ofMinutes(1));
    }
    Answer answer =
        tarebook
            .station(floor.station())
            .send(
                "POST",
                "/api/v1/readings/bulk",
                "application/x-ndjson",
                String.join("\n", lines) + "\n")
            .expect(200);
    if (answer.text().contains("REFUSED")) {
      throw new AssertionError(answer.text());
    }
    return this;
  }

  /** Asks for a study of four weeks from the start on. */
  Answer ask(String what) {
    return tarebook
        .quality()
        .get(
            "/api/v1/charts/"
                + chart
                + "/"
                + what
                + (what.contains("?") ? "&" : "?")
                + "measuredFrom=2026-03-01T00:00:00Z&measuredBefore=2026-03-29T00:00:00Z");
  }

  JsonNode study(String what) {
    return ask(what).expect(200).json();
  }
}
