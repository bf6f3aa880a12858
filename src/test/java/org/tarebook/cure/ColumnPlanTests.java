package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;
import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.ColumnPlanDefinition.Column;
import org.tarebook.cure.ColumnPlanDefinition.Separator;
import org.tarebook.cure.ColumnPlanDefinition.Time;
import org.tarebook.cure.ColumnPlanDefinition.TimeForm;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.http.Problem;

/** Column plans: what they read, and what they may not be. */
@OnBothDatabases
class ColumnPlanTests {

  private static final String LOCAL = "dd.MM.uuuu HH:mm:ss";
  private static final Map<String, Object> BERLIN_TIME =
      object("column", "Zeit", "form", "LOCAL", "pattern", LOCAL, "zone", "Europe/Berlin");

  private final RunningTarebook tarebook;

  ColumnPlanTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void readsSemicolonsDecimalCommasAndLocalTimeOverTheWire() {
    CureFloor floor = new CureFloor(tarebook);
    String id = floor.start(floor.cure());
    String code = Codes.fresh("PLAN");
    plan(floor.quality(), code, definition()).expect(201);
    String csv =
        "Druck;Zeit;Schritt;Temp\n8,40;02.03.2026 07:00:00;SHAPE;90,5\n;02.03.2026 07:00:05;;90,6\n";
    Answer piece = floor.samples(id, "key=1&columnPlan=" + code, "text/csv", csv).expect(201);
    assertThat(piece.at("/samples").asInt()).isEqualTo(3);
    assertThat(piece.at("/lastAt").asString()).isEqualTo("2026-03-02T06:00:05Z");
    String plain =
        "at,step,IT-1,IP\n2026-03-02T06:00:00Z,SHAPE,90.5,8.4\n2026-03-02T06:00:05Z,,90.6,\n";
    floor.samples(id, "key=1", "text/csv", plain).expect(200);
    Answer point =
        floor.samples(id, "key=2&columnPlan=" + code, "text/csv", csv.replace("8,40", "8.40"));
    assertThat(point.expect(400).at("/errors/0/pointer").asString()).isEqualTo("Druck");
    assertThat(point.at("/errors/0/line").asInt()).isEqualTo(2);
    assertThat(point.at("/errors/0/detail").asString()).contains("'8.40' has a point");
  }

  @Test
  void keepsTheOrderOfRowsInTheHourThatComesTwice() {
    List<String> rows =
        List.of("01:59:58", "02:30:00", "02:59:59", "02:00:00", "02:30:00", "02:59:59", "03:00:00");
    assertThat(night("2026-10-24T23:59:00Z", rows))
        .containsExactly(
            "2026-10-24T23:59:58Z",
            "2026-10-25T00:30:00Z",
            "2026-10-25T00:59:59Z",
            "2026-10-25T01:00:00Z",
            "2026-10-25T01:30:00Z",
            "2026-10-25T01:59:59Z",
            "2026-10-25T02:00:00Z");
  }

  @Test
  void takesTheSecondPassWhereTheLoadStartedInIt() {
    assertThat(night("2026-10-25T01:10:00Z", List.of("02:10:00", "02:10:05", "03:00:00")))
        .containsExactly("2026-10-25T01:10:00Z", "2026-10-25T01:10:05Z", "2026-10-25T02:00:00Z");
  }

  @Test
  void takesRowsJustBeforeTheStartOfALoadForWhatTheyAre() {
    assertThat(night("2026-10-25T00:30:00Z", List.of("02:29:55", "02:30:00", "02:30:05")))
        .containsExactly("2026-10-25T00:29:55Z", "2026-10-25T00:30:00Z", "2026-10-25T00:30:05Z");
    assertThat(night("2026-10-25T01:30:00Z", List.of("02:29:55", "02:30:00")))
        .containsExactly("2026-10-25T01:29:55Z", "2026-10-25T01:30:00Z");
  }

  @Test
  void refusesATimeThatDidNotHappen() {
    assertThat(fault(local(), "Zeit\n", "29.03.2026 02:30:00"))
        .isEqualTo(
            "'29.03.2026 02:30:00' did not happen in Europe/Berlin: clocks were set forward over it");
    assertThat(fault(local(), "Zeit\n", "31.02.2026 02:30:00")).contains("not written as the plan");
    assertThat(fault(local(), "Zeit\n", "2026-03-29T03:30:00Z"))
        .contains("not written as the plan");
    assertThat(fault(local(), "Zeit\n", "01.01.1969 02:30:00")).contains("1970");
  }

  @Test
  void readsSecondsSince1970AndFromTheStart() {
    assertThat(moments(time(TimeForm.EPOCH_SECONDS), "0", "1772431200.25", "1772431200,250001"))
        .containsExactly(
            "1970-01-01T00:00:00Z", "2026-03-02T06:00:00.250Z", "2026-03-02T06:00:00.250001Z");
    assertThat(moments(time(TimeForm.SECONDS_FROM_START), "-5", "0", "12,5"))
        .containsExactly(
            "2026-03-02T05:59:55Z", "2026-03-02T06:00:00Z", "2026-03-02T06:00:12.500Z");
    assertThat(moments(time(TimeForm.INSTANT), "2026-03-02T07:00:00+01:00"))
        .containsExactly("2026-03-02T06:00:00Z");
    assertThat(fault(time(TimeForm.EPOCH_SECONDS), "Zeit\n", "-1")).contains("1970");
    assertThat(fault(time(TimeForm.EPOCH_SECONDS), "Zeit\n", "soon")).contains("soon");
  }

  @Test
  void passesOverOtherColumnsOnlyWhereItSaysSo() {
    String header = "Zeit;Bediener;Druck";
    String row = "2026-03-02T06:00:00Z;x;8,4";
    PieceBuilder into = builder();
    new SampleCsv(header, plan(time(TimeForm.INSTANT), true), start()).read(row, 2, into);
    assertThat(into.content().samples()).isEqualTo(1);
    Problem refused =
        catchThrowableOfType(
            Problem.class,
            () -> new SampleCsv(header, plan(time(TimeForm.INSTANT), false), start()));
    assertThat(refused.faults().get(0).pointer()).isEqualTo("Bediener");
    assertThat(refused.faults().get(0).detail()).contains("Druck", "Temp");
  }

  @Test
  void refusesPlansThatCannotBeRead() {
    refused("/definition/stepColumn", object("stepColumn", "Zeit"));
    refused(
        "/definition/columns/1/column", object("columns", columns("Temp", "IT-1", "Temp", "IP")));
    refused("/definition/columns/1/channel", object("columns", columns("A", "IP", "B", "IP")));
    refused("/definition/columns/0/column", object("columns", columns("Zeit", "IP")));
    refused("/definition/separator", object("separator", "COMMA"));
    refused("/definition/time/form", time("INSTANT", LOCAL, null));
    refused("/definition/time/form", time("EPOCH_SECONDS", null, "Europe/Berlin"));
    refused("/definition/time/pattern", time("LOCAL", null, "Europe/Berlin"));
    refused("/definition/time/pattern", time("LOCAL", "tt.mm.jjjj", "Europe/Berlin"));
    refused("/definition/time/pattern", time("LOCAL", "HH:mm:ss", "Europe/Berlin"));
    refused("/definition/time/pattern", time("LOCAL", "dd.MM.yyyy HH:mm:ss", "Europe/Berlin"));
    refused("/definition/time/pattern", time("LOCAL", "dd.MM.uuuu hh:mm:ss", "Europe/Berlin"));
    refused("/definition/time/zone", time("LOCAL", LOCAL, null));
    refused("/definition/time/zone", time("LOCAL", LOCAL, "Mitteleuropa"));
    refused("/definition/columns", object("columns", List.of()));
  }

  @Test
  void changesWithItsETagAndStaysListed() {
    Client quality = tarebook.quality();
    String code = Codes.fresh("PLAN");
    Answer made = plan(quality, code, definition()).expect(201);
    assertThat(made.header("Location")).isEqualTo("/api/v1/column-plans/" + code);
    assertThat(plan(quality, code, definition()).problem()).isEqualTo("already-exists");
    String change = json("name", "Other", "definition", definition(), "retired", true);
    String address = "/api/v1/column-plans/" + code;
    quality.put(address, change).expect(428);
    quality.put(address, change, "If-Match", made.header("ETag")).expect(200);
    quality.put(address, change, "If-Match", made.header("ETag")).expect(412);
    Answer shown = quality.get(address).expect(200);
    assertThat(shown.at("/name").asString()).isEqualTo("Other");
    assertThat(shown.at("/definition")).isEqualTo(made.at("/definition"));
    assertThat(quality.get("/api/v1/column-plans?limit=1000").text()).contains(code);
    tarebook.reader().post("/api/v1/column-plans", "{}").expect(403);
  }

  private static Map<String, Object> definition() {
    return object(
        "separator",
        "SEMICOLON",
        "decimalComma",
        true,
        "time",
        BERLIN_TIME,
        "stepColumn",
        "Schritt",
        "columns",
        columns("Temp", "IT-1", "Druck", "IP"),
        "ignoreOthers",
        false);
  }

  private static List<Map<String, Object>> columns(String... pairs) {
    List<Map<String, Object>> columns = new ArrayList<>();
    for (int i = 0; i < pairs.length; i += 2) {
      columns.add(object("column", pairs[i], "channel", pairs[i + 1]));
    }
    return columns;
  }

  private static Map<String, Object> time(String form, String pattern, String zone) {
    return object("time", object("column", "Zeit", "form", form, "pattern", pattern, "zone", zone));
  }

  private static Answer plan(Client quality, String code, Map<String, Object> definition) {
    return quality.post(
        "/api/v1/column-plans", json("code", code, "name", "Recorder", "definition", definition));
  }

  private void refused(String pointer, Map<String, Object> changed) {
    Map<String, Object> definition = definition();
    definition.putAll(changed);
    Answer answer = plan(tarebook.quality(), Codes.fresh("PLAN"), definition);
    assertThat(answer.status()).as(pointer + answer.text()).isIn(400, 422);
    assertThat(answer.at("/errors")).as(answer.text()).hasSize(1);
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).isNotBlank();
  }

  private static Time time(TimeForm form) {
    return new Time("Zeit", form, null, null);
  }

  private static Time local() {
    return new Time("Zeit", TimeForm.LOCAL, LOCAL, "Europe/Berlin");
  }

  private static ColumnPlanDefinition plan(Time time, boolean ignoreOthers) {
    return new ColumnPlanDefinition(
        Separator.SEMICOLON,
        true,
        time,
        null,
        List.of(new Column("Druck", "IP"), new Column("Temp", "IT-1")),
        ignoreOthers);
  }

  private static Instant start() {
    return Instant.parse(CureFloor.START);
  }

  private static PieceBuilder builder() {
    return new PieceBuilder(Set.of("IP", "IT-1"), Set.of());
  }

  private static List<String> night(String startedAt, List<String> times) {
    String[] rows = times.stream().map(time -> "25.10.2026 " + time).toArray(String[]::new);
    return moments(local(), Instant.parse(startedAt), rows);
  }

  private static List<String> moments(Time time, String... rows) {
    return moments(
        time,
        start(),
        Arrays.stream(rows)
            .map(row -> time.form() == TimeForm.INSTANT ? row : row.replace('.', ','))
            .toArray(String[]::new));
  }

  private static List<String> moments(Time time, Instant startedAt, String... rows) {
    SampleCsv csv = new SampleCsv("Zeit;Druck", plan(time, false), startedAt);
    PieceBuilder into = builder();
    for (int i = 0; i < rows.length; i++) {
      csv.read(rows[i] + ";8,4", i + 2, into);
    }
    return Arrays.stream(into.content().channels().get("IP").micros())
        .mapToObj(PieceContent::instant)
        .map(Instant::toString)
        .toList();
  }

  private static String fault(Time time, String header, String row) {
    PieceBuilder into = builder();
    new SampleCsv(header.strip(), plan(time, false), start()).read(row, 2, into);
    Problem refused = catchThrowableOfType(Problem.class, into::content);
    assertThat(refused.faults()).hasSize(1);
    assertThat(refused.faults().get(0).pointer()).isEqualTo("Zeit");
    return refused.faults().get(0).detail();
  }
}
