package org.tarebook.truth;

import java.io.IOException;
import java.sql.SQLException;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** A shop floor with four charts of different kinds, recorded over HTTP; and who works on it. */
final class Floor {

  /**
   * A chart.
   *
   * @param units its readings are shown in
   * @param centre about which they lie, in kilograms or millimetres
   * @param estimators that its kind allows
   */
  record Charted(
      String code,
      String characteristic,
      List<String> units,
      String centre,
      List<String> estimators,
      List<String> strata) {}

  static final List<Charted> CHARTS =
      List.of(
          new Charted(
              "A-MEANS",
              "TREAD-MASS",
              List.of("kg", "g", "[lb_av]"),
              "4.385",
              List.of("R_BAR", "POOLED"),
              List.of("DIE=D1", "DIE=D2")),
          new Charted(
              "B-SINGLE",
              "BEAD-MASS",
              List.of("[lb_av]", "kg"),
              "1.250",
              List.of("MOVING_RANGE"),
              List.of("STATION=W1", "STATION=W2")),
          new Charted(
              "C-SD",
              "PLY-MASS",
              List.of("g", "kg"),
              "0.640",
              List.of("S_BAR", "POOLED"),
              List.of("DIE=D1 STATION=W1", "DIE=D2 STATION=W2")),
          new Charted(
              "D-WIDTH",
              "TREAD-WIDTH",
              List.of("mm", "[in_i]"),
              "182.0",
              List.of("S_BAR", "POOLED"),
              List.of("")));

  static final List<String> STATIONS = List.of("W1", "W2");
  static final List<String> SCALES = List.of("SCALE-W1", "SCALE-W2");

  private final Map<String, String> tokens = new LinkedHashMap<>();
  private final Site site;

  private Floor(Site site) {
    this.site = site;
  }

  /** The token of a station by its code, of QUALITY or of READER. */
  String token(String who) {
    return tokens.get(who);
  }

  /** Records it through the first service. */
  static Floor record(Site site) throws IOException, SQLException {
    Floor floor = new Floor(site);
    floor.tokens.put("QUALITY", site.token("truth-quality", "PERSON", "QUALITY", null));
    floor.tokens.put("READER", site.token("truth-reader", "PERSON", "READER", null));
    floor.masters();
    for (String station : STATIONS) {
      floor.tokens.put(station, site.token(station, "STATION", "STATION", station));
    }
    return floor;
  }

  private void masters() throws IOException {
    add(
        "shift-calendars",
        """
        {'code':'K1','name':'Three shifts','validFrom':'2025-01-01','zone':'Europe/Berlin','shifts':[
        {'name':'early','startsAt':'06:00:00'},{'name':'late','startsAt':'14:00:00'},
        {'name':'night','startsAt':'22:00:00'}]}""");
    add("lines", "{'code':'T1','name':'Tread','kind':'TREAD_EXTRUSION'}");
    add("components", "{'code':'TR','name':'Strip','kind':'TREAD_STRIP'}");
    for (String station : STATIONS) {
      add("stations", "{'code':'%s','name':'n','line':'T1'}".formatted(station));
      add(
          "instruments",
          "{'code':'SCALE-%1$s','name':'n','station':'%1$s','kind':'SCALE','unit':'kg'}"
              .formatted(station));
      add(
          "instruments",
          "{'code':'GAUGE-%1$s','name':'n','station':'%1$s','kind':'GAUGE','unit':'mm'}"
              .formatted(station));
    }
    chart("A-MEANS", "TREAD-MASS", "kg", "XBAR_R", 5, "'DIE'", "4.350", "4.420", "kg");
    chart("B-SINGLE", "BEAD-MASS", "[lb_av]", "INDIVIDUALS", 1, "'STATION'", "1225", "1270", "g");
    chart("C-SD", "PLY-MASS", "kg", "XBAR_S", 3, "'STATION','DIE'", "0.62", "0.66", "kg");
    chart("D-WIDTH", "TREAD-WIDTH", "mm", "XBAR_S", 4, "", "181", "183.5", "mm");
  }

  private void chart(
      String code,
      String characteristic,
      String unit,
      String kind,
      int size,
      String strata,
      String lower,
      String upper,
      String limitUnit)
      throws IOException {
    add(
        "characteristics",
        "{'code':'%s','name':'n','component':'TR','kind':'MEASURED','unit':'%s'}"
            .formatted(characteristic, unit));
    add(
        "control-plan",
        """
        {'code':'%s','name':'n','characteristic':'%s','line':'T1','method':'m','sampleSize':1,
        'frequency':'each','kind':'%s','subgroupSize':%d,'strata':[%s],'response':'r',
        'permissibleError':0.005,'permissibleErrorUnit':'%s'}"""
            .formatted(code, characteristic, kind, size, strata, unit.equals("mm") ? "mm" : "kg"));
    add(
        "characteristics/" + characteristic + "/specifications",
        limits("2026-01-01T00:00:00Z", lower, upper, limitUnit, "ABSOLUTE"));
  }

  /** Freezes the limits of every chart that has points, so that signals are watched. */
  void freezeLimits() throws IOException {
    for (Charted chart : CHARTS) {
      add(
          422, // where there are too few points yet
          "limit-sets",
          """
          {'key':'%1$s','code':'%1$s-1','chart':'%1$s','measuredFrom':'%2$s','measuredBefore':'%3$s',
          'inForceFrom':'%2$s','reason':'First baseline'}"""
              .formatted(chart.code(), Moments.now().minusSeconds(40 * 86_400), Moments.now()));
    }
  }

  /** Records another calendar, from some days ago on. */
  void changeShifts() throws IOException {
    add(
        "shift-calendars",
        """
        {'code':'K2','name':'Two shifts','validFrom':'%s','zone':'Europe/Berlin',
        'reason':'Agreed since','shifts':[
        {'name':'day','startsAt':'05:30:00'},{'name':'night','startsAt':'17:30:00'}]}"""
            .formatted(
                Moments.now()
                    .minusSeconds(12 * 86_400)
                    .atZone(ZoneId.of("Europe/Berlin"))
                    .toLocalDate()));
  }

  /** A specification to be recorded. */
  static String limits(String from, String lower, String upper, String unit, String comparison) {
    return """
        {"validFrom":"%s","lower":%s,"upper":%s,"unit":"%s","comparison":"%s","reason":"drawing"}"""
        .formatted(from, lower, upper, unit, comparison);
  }

  private void add(String path, String body) throws IOException {
    add(201, path, body);
  }

  private void add(int orElse, String path, String body) throws IOException {
    Wire.Reply reply =
        new Wire(site.bases().get(0), token("QUALITY"))
            .post("/api/v1/" + path, "application/json", body.replace('\'', '"'));
    if (reply.status() != 201 && reply.status() != orElse) {
      throw new IllegalStateException(path + " " + body + ": " + reply);
    }
  }
}
