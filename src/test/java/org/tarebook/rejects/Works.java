package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.audit.Actor;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.reading.Amendments;
import org.tarebook.reading.Flag;
import org.tarebook.reading.Outcome;
import org.tarebook.reading.Phase;
import org.tarebook.reading.Posting;
import org.tarebook.reading.Reading;
import org.tarebook.reading.Readings;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/**
 * A small works of its own in Berlin's zone: two lines, three stations, two components and a
 * product, three shifts from 06:00 on. Limits of every characteristic are 10 to 20.
 */
record Works(RunningTarebook tarebook) implements AutoCloseable {

  static final List<String> CHARACTERISTICS = List.of("A-MASS", "A-LEN", "B-MASS", "P-RUN");

  /** So many rows are stored in one statement, which ends within the wait for a server. */
  private static final int AT_ONCE = 50_000;

  private static final Actor SOMEBODY = new Actor("somebody", Actor.Kind.PERSON, null);

  static Works start(Vendor vendor) {
    Works works =
        new Works(
            RunningTarebook.start(TestDatabase.create(vendor), "--tarebook.zone=Europe/Berlin"));
    works.equip();
    return works;
  }

  private void equip() {
    tarebook.clock().set("2025-01-01T00:00:00Z");
    Client quality = tarebook.quality();
    for (String line : List.of("T1", "T2")) {
      make(quality, "lines", "{'code':'%s','name':'n','kind':'TREAD_EXTRUSION'}".formatted(line));
    }
    for (String station : List.of("T1-W1", "T1-W2", "T2-W1")) {
      make(
          quality,
          "stations",
          "{'code':'%s','name':'n','line':'%s'}".formatted(station, station.substring(0, 2)));
    }
    for (String component : List.of("TR-A", "TR-B")) {
      make(
          quality,
          "components",
          "{'code':'%s','name':'n','kind':'TREAD_STRIP'}".formatted(component));
    }
    make(quality, "products", "{'code':'P1','name':'n','size':'11-28','construction':'BIAS'}");
    characteristic(quality, "A-MASS", "'component':'TR-A'", "kg");
    characteristic(quality, "A-LEN", "'component':'TR-A'", "m");
    characteristic(quality, "B-MASS", "'component':'TR-B'", "kg");
    characteristic(quality, "P-RUN", "'product':'P1'", "mm");
    make(
        quality,
        "shift-calendars",
        """
        {'code':'C1','name':'n','validFrom':'2025-01-01','zone':'Europe/Berlin','shifts':[
        {'name':'early','startsAt':'06:00:00'},{'name':'late','startsAt':'14:00:00'},
        {'name':'night','startsAt':'22:00:00'}]}
        """);
    make(
        quality,
        "control-plan",
        """
        {'code':'CP1','name':'n','characteristic':'B-MASS','line':'T2','method':'m',
        'sampleSize':1,'frequency':'each','kind':'INDIVIDUALS','subgroupSize':1,'response':'r',
        'checkEveryMinutes':60}
        """);
    make(
        quality,
        "instruments",
        "{'code':'S2','name':'n','station':'T2-W1','kind':'SCALE','unit':'kg'}");
    tarebook.clock().run();
  }

  private static void characteristic(Client quality, String code, String subject, String unit) {
    make(
        quality,
        "characteristics",
        "{'code':'%s','name':'n',%s,'kind':'MEASURED','unit':'%s'}".formatted(code, subject, unit));
    make(
        quality,
        "characteristics/" + code + "/specifications",
        """
        {'validFrom':'2025-01-02T00:00:00Z','lower':10,'upper':20,'unit':'%s',
        'comparison':'ABSOLUTE','reason':'first'}
        """
            .formatted(unit));
  }

  private static void make(Client client, String path, String json) {
    client.post("/api/v1/" + path, json.replace('\'', '"')).expect(201);
  }

  /** A posting to be varied: a reading of A-MASS at T1-W1. */
  static final class Draft {
    private final String key;
    private final Instant at;
    private String station = "T1-W1";
    private final List<Posting.Value> values = new ArrayList<>();
    private @Nullable Phase phase;
    private @Nullable String die;
    private @Nullable String item;
    private @Nullable String truck;
    private @Nullable String remeasures;

    Draft(String key, Instant at) {
      this.key = key;
      this.at = at;
    }

    String key() {
      return key;
    }

    Instant at() {
      return at;
    }

    String station() {
      return station;
    }

    List<String> characteristics() {
      return values.stream().map(Posting.Value::characteristic).toList();
    }

    Draft station(String code) {
      station = code;
      return this;
    }

    Draft value(String characteristic, @Nullable String value, Flag... flags) {
      String unit =
          characteristic.equals("A-LEN") ? "m" : characteristic.equals("P-RUN") ? "mm" : "kg";
      values.add(
          new Posting.Value(
              characteristic,
              value == null ? null : new BigDecimal(value),
              null,
              unit,
              null,
              null,
              null,
              Set.of(flags)));
      return this;
    }

    Draft phase(Phase other) {
      phase = other;
      return this;
    }

    Draft die(@Nullable String name) {
      die = name;
      return this;
    }

    Draft item(@Nullable String number) {
      item = number;
      return this;
    }

    Draft truck(@Nullable String name) {
      truck = name;
      return this;
    }

    Draft remeasures(@Nullable String earlier) {
      remeasures = earlier;
      return this;
    }

    Posting posting() {
      Posting.Value first = values.get(0);
      return new Posting(
          key,
          station,
          first.characteristic(),
          first.value(),
          first.censored(),
          first.unit(),
          at,
          null,
          null,
          null,
          first.flags(),
          phase,
          die,
          null,
          null,
          null,
          null,
          item,
          truck,
          null,
          remeasures,
          values.subList(1, values.size()));
    }
  }

  /** Records postings; the readings in order. */
  List<Reading> record(List<Draft> drafts) {
    List<Outcome> outcomes =
        tarebook
            .bean(Readings.class)
            .record(drafts.stream().map(Draft::posting).toList(), SOMEBODY)
            .outcomes();
    assertThat(outcomes).allSatisfy(outcome -> assertThat(outcome.refusal()).isNull());
    return outcomes.stream().flatMap(outcome -> outcome.readings().stream()).toList();
  }

  Reading record(Draft draft) {
    return record(List.of(draft)).get(0);
  }

  /** Marks a reading as kept out for a cause, as its feature does. */
  void keepOut(Reading reading, String cause) {
    tarebook
        .sql()
        .sql(
            "insert into uncounted (reading_id, cause, since_version, until_version,"
                + " characteristic_id, measured_at) values (?, ?, 1, null, ?, ?)")
        .params(
            reading.id(),
            cause,
            reading.characteristicId(),
            SqlTime.of(reading.event().measuredAt()))
        .update();
  }

  /** Lets a cause end. */
  void letIn(Reading reading, String cause) {
    tarebook
        .sql()
        .sql("update uncounted set until_version = 2 where reading_id = ? and cause = ?")
        .params(reading.id(), cause)
        .update();
  }

  /** Gives a reading another result, as a withdrawn specification does. */
  void judgeAgain(Reading reading, int sequence, String result, @Nullable String direction) {
    tarebook
        .sql()
        .sql(
            "insert into successor_result (reading_id, sequence, result, direction, not_judged,"
                + " specification_id, cause, lock_version, recorded_at)"
                + " values (:reading, :sequence, :result, :direction, :why, null, 'test', 1, :now)")
        .param("reading", reading.id())
        .param("sequence", sequence)
        .param("result", result)
        .param("direction", direction, java.sql.Types.VARCHAR)
        .param(
            "why", result.equals("NOT_JUDGED") ? "NO_SPECIFICATION" : null, java.sql.Types.VARCHAR)
        .param("now", SqlTime.of(Instant.now()))
        .update();
  }

  /** Voids a reading. */
  void voided(Reading wrong) {
    amend(wrong, "{'key':'%s','kind':'VOID','reason':'nothing was measured'}");
  }

  /** Replaces a reading by one with another value in the same unit. */
  void replace(Reading wrong, String value) {
    amend(
        wrong,
        "{'key':'%s','kind':'REPLACE','reason':'misread','replacement':{'value':VALUE}}"
            .replace("VALUE", value));
  }

  /** Replaces a reading by one of another item; an empty number takes it away. */
  void renumber(Reading wrong, String item) {
    amend(
        wrong,
        "{'key':'%s','kind':'REPLACE','reason':'misread','replacement':{'item':'ITEM'}}"
            .replace("ITEM", item));
  }

  private void amend(Reading wrong, String json) {
    if (tarebook.bean(Amendments.class).amendedBy(wrong.id()).isPresent()) {
      return; // it followed the reading that it measures again
    }
    tarebook
        .quality()
        .post(
            "/api/v1/readings/" + wrong.id() + "/amendments",
            json.formatted("A" + wrong.id()).replace('\'', '"'))
        .expect(201);
  }

  /**
   * Stores a reading a minute from 2026 on: one in ten bears a number, three in turn the same; one
   * in a hundred measures the one before it again; one in twenty fails.
   */
  void fill(int minutes) {
    for (int first = 1; first <= minutes; first += AT_ONCE) {
      fill(first, Math.min(minutes, first + AT_ONCE - 1));
    }
    tarebook.sql().sql("analyze").update();
  }

  private void fill(int first, int last) {
    tarebook
        .sql()
        .sql(
            """
            insert into reading (id, event_id, station_id, event_key, part, characteristic_id,
              lock_version, measured_at, recorded_at, net_value, decimals, unit, phase, item_label,
              remeasures_id, remeasures_key, root_event_id, result, direction, posted_by)
            select 1000000 + n, 1000000 + n, s.id, 'k' || n, 0, c.id, 1,
              cast('2026-01-01 00:00:00+00:00' as timestamp with time zone) + n * interval '1' minute,
              current_timestamp, 15, 0,
              'kg', 'RUNNING', case when n % 10 = 0 then 'N' || n / 30 end,
              case when n % 100 = 7 then 1000000 + n - 1 end,
              case when n % 100 = 7 then 'k' || n - 1 end,
              1000000 + n - case when n % 100 = 7 then 1 else 0 end,
              case when n % 20 = 3 then 'FAIL' else 'PASS' end,
              case when n % 20 = 3 then 'BELOW' end, 'test'
            from (NUMBERS) numbers, station s, characteristic c
            where s.code = 'T1-W1' and c.code = 'A-MASS'
            """
                .replace(
                    "NUMBERS",
                    tarebook.vendor() == Vendor.H2
                        ? "select x as n from system_range(%d, %d)".formatted(first, last)
                        : "select generate_series(%d, %d) as n".formatted(first, last)))
        .update();
  }

  @Override
  public void close() {
    tarebook.close();
  }
}
