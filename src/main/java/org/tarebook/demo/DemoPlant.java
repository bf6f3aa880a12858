package org.tarebook.demo;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import tools.jackson.databind.JsonNode;

/** The demo's masters and events that people post: checks, frozen limits, a revision. */
final class DemoPlant {

  /** The charts whose limits are frozen after the first week. */
  static final List<String> FROZEN =
      List.of(
          "MX-BATCH",
          "MX-SULPHUR",
          "CA-GAUGE",
          "T1-MASS",
          "T1-LENGTH",
          "T2-MASS",
          "T2-LENGTH",
          "BD-MASS",
          "BC-WIDTH",
          "BL-MASS",
          "FI-MASS");

  /** When the story of a chart begins, after the start; from then on its signals stay open. */
  private static final Map<String, Duration> STORIES =
      Map.of(
          "T1-MASS", Duration.ofDays(9),
          "T2-MASS", Duration.ofDays(7),
          "CA-GAUGE", Duration.ofDays(14),
          "BL-MASS", Duration.ofDays(11));

  private static final List<String> MASTERS =
      List.of(
          "lines",
          "stations",
          "instruments",
          "presses",
          "components",
          "products",
          "characteristics",
          "specifications",
          "control-plan");

  private final DemoClient quality;

  DemoPlant(DemoClient quality) {
    this.quality = quality;
  }

  void makeMasters(Instant start) {
    for (String kind : MASTERS) {
      quality.postCsv(kind + "/bulk", kind + ".csv");
    }
    quality.postJson(
        "shift-calendars",
        """
        {"code": "THREE", "name": "Three shifts", "validFrom": "2020-01-01",
         "zone": "Atlantic/Reykjavik",
         "shifts": [{"name": "early", "startsAt": "06:00:00"},
                    {"name": "late", "startsAt": "14:00:00"},
                    {"name": "night", "startsAt": "22:00:00"}]}
        """);
  }

  /** What people do in the hour that begins at a moment. */
  void makeEvents(DemoHistory history, Instant start, Instant hour) {
    Duration since = Duration.between(start, hour);
    long day = since.toDays();
    if (since.toHours() % 24 == 0) {
      check("MX-W1-SC", "200 kg block", "200.000", "kg", "200.02", null, hour);
      check("T1-W1-SC", "10 lb weight", "10.0000", "[lb_av]", "10.005", null, hour);
      check("T2-W1-SC", "5 kg weight", "5.00000", "kg", "5.000", null, hour);
      check("CA-G1-TH", "1 mm foil", "1.0000", "mm", "1.001", null, hour);
      for (int drum = 1; drum <= 3; drum++) {
        boolean knocked =
            drum == 2 && history.knockFoundAt().minus(Duration.ofMinutes(15)).equals(hour);
        check(
            "BL-D" + drum + "-SC",
            "20 kg weight",
            "20.0002",
            "kg",
            knocked ? "20.14" : "20.00",
            knocked ? "20.00" : null,
            hour);
      }
    }
    if (since.toHours() % 24 == 0) {
      answerSignals(since);
    }
    if (since.equals(Duration.ofDays(7))) {
      FROZEN.forEach(chart -> freeze(chart, start, hour));
    }
    if (since.equals(Duration.ofDays(13))) {
      quality.postJson(
          "characteristics/TR-204-MASS/specifications",
          """
          {"validFrom": "%s", "target": 8.400, "lower": 8.320, "upper": 8.480, "unit": "kg",
           "comparison": "ABSOLUTE", "reason": "Drawing 204 b: tighter after the trial of day %d"}
          """
              .formatted(hour.plus(Duration.ofHours(2)), day));
    }
  }

  /** Answers what chance alone would raise; the stories are left for whoever looks. */
  void answerSignals(Duration since) {
    for (JsonNode signal : quality.get("signals?open=true&limit=1000").get("items")) {
      String chart = signal.get("chart").asString();
      if (since.compareTo(STORIES.getOrDefault(chart, since)) <= 0) {
        String id = signal.get("id").asString();
        quality.postJson(
            "signals/" + id + "/responses",
            """
            {"key": "response-%s", "cause": "Looked at station and stock, nothing found",
             "action": "Went on and watched the next points"}
            """
                .formatted(id));
      }
    }
  }

  private void check(
      String instrument,
      String standard,
      String value,
      String unit,
      String asFound,
      @org.jspecify.annotations.Nullable String asLeft,
      Instant hour) {
    Instant at = hour.plus(Duration.ofMinutes(15));
    quality.postJson(
        "instrument-checks",
        """
        {"key": "check-%s-%s", "instrument": "%s", "checkedAt": "%s", "standard": "%s",
         "certificate": "C-2041", "standardValue": %s, "unit": "%s", "asFound": [%s]%s}
        """
            .formatted(
                instrument,
                at.getEpochSecond(),
                instrument,
                at,
                standard,
                value,
                unit,
                asFound,
                asLeft == null ? "" : ", \"asLeft\": [" + asLeft + "]"));
  }

  private void freeze(String chart, Instant start, Instant hour) {
    quality.postJson(
        "limit-sets",
        """
        {"key": "freeze-%1$s", "code": "%1$s-1", "chart": "%1$s", "measuredFrom": "%2$s",
         "measuredBefore": "%3$s", "inForceFrom": "%3$s",
         "reason": "First week, looked through by the demo's quality manager"}
        """
            .formatted(chart, start, hour));
  }
}
