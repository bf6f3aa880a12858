package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class StationReadsHttpTests {

  private final RunningTarebook tarebook;
  private final ShopFloor own;
  private final ShopFloor other;
  private final Client terminal;
  private final String ownChart;
  private final String otherChart;

  StationReadsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    own = new ShopFloor(tarebook, "kg");
    other = new ShopFloor(tarebook, "kg");
    ownChart = own.chart(own.mass(), "INDIVIDUALS", 1);
    otherChart = other.chart(other.mass(), "INDIVIDUALS", 1);
    terminal = tarebook.station(own.station());
  }

  @Test
  void aStationReadsItsOwnReadings() {
    long mine = reading(own);
    long theirs = reading(other);

    assertThat(read("readings?newestFirst=true&station=" + own.station()).at("/items").size())
        .isEqualTo(1);
    read("readings/" + mine);
    refused("readings", "Ask with the parameter station");
    refused("readings?station=" + other.station(), "belongs to " + other.station());
    refused("readings?station=" + own.station() + "&station=" + other.station(), "once");
    refused("readings?line=" + own.line(), "Ask with the parameter station");
    refused("readings/" + theirs, "belongs to " + other.station());
    refused("readings/" + theirs + "/amendments", "belongs to " + other.station());
    assertThat(terminal.get("/api/v1/readings/404404").status()).isEqualTo(404);
    assertThat(terminal.get("/api/v1/readings/first").status()).isEqualTo(400);
    for (String asked :
        List.of("readings?station", "instrument-checks?instrument", "charts?line", "cures?press")) {
      assertThat(terminal.get("/api/v1/" + asked + "=%00").status()).as(asked).isEqualTo(400);
    }
  }

  @Test
  void aStationReadsWhatBelongsToItsLine() {
    own.characteristic(own.mass() + "-2", "kg", "MEASURED");
    own.specification(own.mass(), "1", "2", "kg");
    read("characteristics/" + own.mass() + "/specifications");
    read("characteristics/" + own.mass() + "/specifications/1");
    read("characteristics/" + own.mass() + "-2/specifications");
    read("charts?line=" + own.line());
    read("charts/" + ownChart);
    read("charts/" + ownChart + "/points");
    read("signals?line=" + own.line());
    read("signals?chart=" + ownChart);
    read("instruments/" + own.scale() + "/standing");
    read("instrument-checks?instrument=" + own.scale());
    read("lines");
    read("stations/" + other.station());
    read("control-plan");

    refused("characteristics/" + other.mass() + "/specifications", "belongs to " + other.line());
    refused("charts", "Ask with the parameter line");
    refused("charts?line=" + other.line(), "belongs to " + other.line());
    refused("charts/" + otherChart, "belongs to " + other.line());
    refused("charts/" + otherChart + "/points", "belongs to " + other.line());
    refused("charts/" + ownChart + "/shape", "Ask this with the token of a reader");
    refused("signals", "Ask with the parameter chart or line");
    refused("signals?chart=" + otherChart, "belongs to " + other.line());
    refused("instruments/" + other.scale() + "/standing", "belongs to " + other.line());
    refused("instrument-checks?instrument=" + other.scale(), "belongs to " + other.line());
    refused("capability?line=" + own.line(), "Ask this with the token of a reader");
    assertThat(terminal.get("/api/v1/charts/NONE").status()).isEqualTo(404);
  }

  @Test
  void aSystemThatPostsForManyStationsReadsTheSameOfAllLines() {
    Client gateway = tarebook.system("reads-for-" + own.station(), "STATION");
    long theirs = reading(other);

    gateway.get("/api/v1/readings/" + theirs).expect(200);
    gateway.get("/api/v1/readings?limit=1").expect(200);
    gateway.get("/api/v1/charts/" + otherChart).expect(200);
    gateway.get("/api/v1/capability?line=" + own.line()).expect(403);
  }

  @Test
  void aReadingOfAnInstrumentThatHangsElsewhereIsRefused() {
    Answer answer =
        terminal.post(
            "/api/v1/readings",
            own.posting(1.5, "kg", "2026-05-04T06:00:00Z", "instrument", other.scale()));

    assertThat(answer.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo("/instrument");
    assertThat(answer.at("/errors/0/detail").asString())
        .contains(other.scale() + " hangs at station " + other.station());
  }

  private long reading(ShopFloor floor) {
    return tarebook
        .station(floor.station())
        .post("/api/v1/readings", floor.posting(1.5, "kg", "2026-05-04T06:00:00Z"))
        .expect(201)
        .at("/id")
        .asLong();
  }

  private Answer read(String path) {
    return terminal.get("/api/v1/" + path).expect(200);
  }

  private void refused(String path, String why) {
    Answer answer = terminal.get("/api/v1/" + path).expect(403);
    assertThat(answer.problem()).isEqualTo("not-allowed");
    assertThat(answer.at("/detail").asString()).contains(why);
  }
}
