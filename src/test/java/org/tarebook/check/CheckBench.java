package org.tarebook.check;

import java.util.List;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.plant.Instrument;

/**
 * A line of its own with one station and one instrument. In what is posted # stands for its number
 * and a single quote for a double one.
 */
final class CheckBench {

  private final RunningTarebook tarebook;
  private final Client quality;
  private final String number = Codes.fresh("B").substring(2);
  private final Client station;

  /**
   * A bench.
   *
   * @param instrumentMembers further members of the instrument's request: kind, unit
   */
  CheckBench(RunningTarebook tarebook, String instrumentMembers) {
    this.tarebook = tarebook;
    quality = tarebook.quality();
    make("lines", "{'code':'L-#','name':'a line','kind':'TREAD_EXTRUSION'}");
    make("stations", "{'code':'S-#','name':'a station','line':'L-#'}");
    instrument("I-#", instrumentMembers);
    station = tarebook.station(fill("S-#"));
  }

  /**
   * A bench with a plain scale in kilograms, and a row of the control plan, P-#.
   *
   * @param checkingMembers what the row says of checks
   */
  static CheckBench withPlannedScale(RunningTarebook tarebook, String checkingMembers) {
    CheckBench bench = new CheckBench(tarebook, "'kind':'SCALE','unit':'kg'");
    bench.planRow("P-#", "kg", checkingMembers);
    return bench;
  }

  /** A further instrument at the station. */
  void instrument(String code, String members) {
    make("instruments", "{'code':'" + code + "','name':'one','station':'S-#'," + members + "}");
  }

  /** A row of the control plan for the line, and what it measures. */
  void planRow(String code, String unit, String checkingMembers) {
    make("components", "{'code':'K-" + code + "','name':'a tread','kind':'TREAD_STRIP'}");
    make(
        "characteristics",
        "{'code':'X-%s','name':'what is measured','component':'K-%s','kind':'MEASURED','unit':'%s'}"
            .formatted(code, code, unit));
    make(
        "control-plan",
        "{'code':'"
            + code
            + "','name':'a row','characteristic':'X-"
            + code
            + "','line':'L-#','method':'scale','sampleSize':1,'frequency':'each',"
            + "'kind':'INDIVIDUALS','subgroupSize':1,'response':'stop',"
            + checkingMembers
            + "}");
  }

  /** A check of the instrument against 10.0002 kg, posted by the station. */
  Answer check(String key, String checkedAt, String phases) {
    return check(key, checkedAt, "'standardValue':10.0002,'unit':'kg'," + phases, station);
  }

  /** A check of the instrument. */
  Answer check(String key, String checkedAt, String members, Client poster) {
    return post(
        "{'key':'%s','instrument':'I-#','checkedAt':'%s','standard':'weight A','certificate':'C-1',%s}"
            .formatted(key, checkedAt, members),
        poster);
  }

  /** A check written out. */
  Answer post(String body, Client poster) {
    return poster.post("/api/v1/instrument-checks", fill(body));
  }

  /** A reading of 5 kg in the row P-#. */
  void reading(String key, String measuredAt) {
    station
        .post(
            "/api/v1/readings",
            fill(
                "{'key':'%s','station':'S-#','characteristic':'X-P-#','value':5.000,'unit':'kg','measuredAt':'%s'}"
                    .formatted(key, measuredAt)))
        .expect(201);
  }

  /** Reads. */
  Answer read(String address) {
    return quality.get(fill(address));
  }

  /** The station's terminal. */
  Client station() {
    return station;
  }

  /** The instrument as the plan knows it now. */
  Instrument instrument() {
    return tarebook.bean(Plans.class).current().instruments().find(fill("I-#")).orElseThrow();
  }

  /** What the checks say of the instrument now. */
  InstrumentState state() {
    Instrument instrument = instrument();
    return tarebook
        .bean(InstrumentChecks.class)
        .states(tarebook.bean(Plans.class).current(), List.of(instrument.id()))
        .get(instrument.id());
  }

  /** The text as it is sent. */
  String fill(String text) {
    return text.replace("#", number).replace('\'', '"');
  }

  private void make(String place, String body) {
    quality.post("/api/v1/" + place, fill(body)).expect(201);
  }
}
