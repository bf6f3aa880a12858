package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** How a load stands while it runs, asked and pushed. */
@OnBothDatabases
class LiveHttpTests {

  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;
  private CureFloor floor;
  private String id;

  LiveHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    id = floor.start(floor.cure());
  }

  @Test
  void tellsTheStepAndTheEquivalentsSoFar() {
    JsonNode nothing = live();
    assertThat(nothing.has("at")).isFalse();
    assertThat(nothing.has("step")).isFalse();
    assertThat(nothing.at("/elapsed").asInt()).isZero();
    assertThat(nothing.at("/cavities/0/notComputed").asString()).isNotBlank();

    post("1", 0, 600);
    JsonNode now = live();
    assertThat(now.get("at").asString()).isEqualTo("2026-03-02T06:09:55Z");
    assertThat(now.get("elapsed").asInt()).isEqualTo(595);
    assertThat(now.at("/step/name").asString()).isEqualTo("WATER");
    assertThat(now.at("/step/elapsed").asInt()).isEqualTo(535);
    assertThat(now.at("/step/left").asInt()).isEqualTo(965);
    assertThat(now.get("drifts")).isEmpty();
    assertThat(now.get("cavities")).hasSize(4);
    assertThat(now.get("caution").asString()).contains("opens no press");
    assertThat(live()).isEqualTo(now);
    floor.quality().get("/api/v1/cures/1/live").expect(404);
    tarebook.reader().get("/api/v1/cures/" + id + "/live").expect(200);
  }

  @Test
  void foretellsWhenTheSlowestPlaceHasEnough() {
    post("1", 0, 600);
    JsonNode told = live().at("/cavities/2");
    assertThat(told.get("wanted").asDouble()).isEqualTo(6);
    double soFar = told.get("minutes").asDouble();
    assertThat(soFar).isBetween(0.0, 6.0);
    double enoughAt = seconds(told.get("enoughAt"));
    assertThat(enoughAt).isBetween(600.0, SyntheticLoad.FLUSH);

    double then = Math.ceil(enoughAt / 5) * 5;
    post("2", 600, then + 1);
    double reached = live().at("/cavities/2/minutes").asDouble();
    assertThat(reached).as("minutes at %s s", then).isBetween(5.8, 6.3);

    post("3", then + 5, SyntheticLoad.END + 1);
    JsonNode verdict = floor.close(id, "2026-03-02T06:30:00Z").expect(201).json();
    double atOpening = 0;
    for (JsonNode one : verdict.at("/cavities/2/figures/equivalents")) {
      if (one.get("place").asString().equals("SLOWEST")
          && one.get("until").asString().equals("OPENING")) {
        atOpening = one.get("minutes").asDouble();
      }
    }
    assertThat(atOpening).isGreaterThan(reached);
    assertThat(live().at("/cavities/2/minutes").asDouble()).isGreaterThanOrEqualTo(atOpening);
  }

  /**
   * The water inside is each cavity's own, the steam outside is shared; so far, then at the end.
   */
  @Test
  void tellsWhatTheMediaHaveComeToAsTheVerdictHoldsThem() {
    Map<String, Object> definition = floor.planned().definition();
    Map<String, Object> dome = floor.planned().wantedOfWater("OPENING", null, 40);
    dome.put("name", "dome");
    dome.put("medium", "OUTSIDE");
    definition.put("media", List.of(floor.planned().wantedOfWater("RELEASE", 50, 90), dome));
    floor.planned().revision("r2", "2026-02-01T00:00:00Z", definition).expect(201);
    id = floor.start(floor.cure());
    assertThat(live().at("/cavities/0/media")).isEmpty();
    assertThat(live().at("/cavities/0/mediaNotComputed").toString())
        .contains("equivalents of water", "equivalents of dome");

    post("1", 0, 600);
    JsonNode soFar = live().at("/cavities/2");
    assertThat(soFar.get("mediaNotComputed")).isEmpty();
    JsonNode media = soFar.get("media");
    assertThat(media).hasSize(3);
    // by hand: some 535 s of water of 168 °C are 25 minutes at 150 °C with 90 kJ/mol
    JsonNode least = media.get(0);
    assertThat(least.get("place").asString()).isEqualTo("water");
    assertThat(least.get("medium").asString()).isEqualTo("INSIDE");
    assertThat(least.get("minutes").asDouble()).isBetween(23.0, 25.5);
    assertThat(least.get("lower").asDouble()).isLessThan(least.get("minutes").asDouble());
    assertThat(least.get("upper").asDouble()).isGreaterThan(least.get("minutes").asDouble());
    assertThat(least.get("wanted").asInt()).isEqualTo(50);
    assertThat(media.get(1).get("wanted").asInt()).isEqualTo(90);
    assertThat(media.get(2).get("place").asString()).isEqualTo("dome");
    assertThat(media.get(2).get("minutes").asDouble()).isBetween(8.5, 10.0);
    assertThat(live().at("/cavities/0/media/2")).isEqualTo(media.get(2));

    post("2", 600, SyntheticLoad.END + 1);
    JsonNode verdict = JSON.readTree(floor.close(id, "2026-03-02T06:30:00Z").expect(201).text());
    List<JsonNode> judged = new ArrayList<>();
    for (JsonNode one : verdict.at("/cavities/2/figures/equivalents")) {
      if (one.has("medium")) {
        judged.add(one);
      }
    }
    assertThat(live().at("/cavities/2/media")).containsExactlyElementsOf(judged).hasSize(3);
  }

  /**
   * A schedule whose press sends no marks has steps to come; they add nothing before they begin.
   */
  @Test
  void countsNothingOfAStepThatHasNotBegun() {
    Map<String, Object> definition = floor.planned().definition();
    definition.put("stepsBySchedule", true);
    definition.put("media", List.of(floor.planned().wantedOfWater("RELEASE", 50, null)));
    floor.planned().revision("r2", "2026-02-01T00:00:00Z", definition).expect(201);
    id = floor.start(floor.cure());
    List<String> unmarked = new ArrayList<>(List.of("at"));
    unmarked.addAll(HealthyLog.CODES);
    floor.samples(id, "key=0", "text/csv", new HealthyLog(-10, 0).csv(unmarked)).expect(201);
    assertThat(live().at("/cavities/2/media/0/minutes").asDouble()).isZero();
    floor.samples(id, "key=1", "text/csv", new HealthyLog(0, 600).csv(unmarked)).expect(201);
    JsonNode least = live().at("/cavities/2/media/0");
    assertThat(least.get("minutes").asDouble()).isBetween(23.0, 25.5);
    assertThat(least.has("bridged")).isFalse();
  }

  /** Closed in the middle of the hot water, with samples of a quarter of an hour after it. */
  @Test
  void whatIsLoggedAfterTheClosingHeatsNoTyre() {
    post("1", 0, 901);
    JsonNode running = live();
    assertThat(running.at("/cavities/2").has("enoughAt")).isTrue();
    floor.close(id, "2026-03-02T06:15:00Z").expect(201);
    JsonNode closed = live();
    assertThat(closed.at("/cavities/2/minutes")).isEqualTo(running.at("/cavities/2/minutes"));
    assertThat(closed.has("step")).isFalse();
    assertThat(closed.at("/cavities/2").has("enoughAt")).isFalse();
    assertThat(closed.at("/cavities/2/notComputed").asString())
        .isEqualTo("the load is closed; its verdict tells what it had");
    floor
        .samples(
            id,
            "key=late&lateBecause=The%20link%20was%20down",
            "text/csv",
            new HealthyLog(905, SyntheticLoad.END + 1).csv())
        .expect(201);
    JsonNode late = live();
    assertThat(late.at("/elapsed").asDouble()).isEqualTo(900);
    assertThat(late.at("/cavities/2/minutes").asDouble())
        .isCloseTo(running.at("/cavities/2/minutes").asDouble(), within(1e-6));
  }

  /** Enough is a moment of the load, whenever it is asked for. */
  @Test
  void theMomentOfEnoughDoesNotGoOnWithTheClock() {
    post("1", 0, 1541);
    double first = seconds(live().at("/cavities/2/enoughAt"));
    post("2", 1545, 1601);
    assertThat(seconds(live().at("/cavities/2/enoughAt"))).isCloseTo(first, within(1.0));
    assertThat(first).isLessThan(1540);
  }

  /** The lower end so far is what a verdict holds the minimum against, were the load closed now. */
  @Test
  void theTyreIsHeldByTheLowerEndAsTheVerdictHoldsIt() {
    post("1", 0, 1201);
    double enough = seconds(live().at("/cavities/2/enoughAt"));
    Map<String, Object> definition = floor.planned().definition();
    definition.remove("minimumHolds");
    floor.planned().revision("r2", "2026-02-01T00:00:00Z", definition).expect(201);
    id = floor.start(floor.cure());
    post("3", 0, 1201);
    JsonNode cavity = live().at("/cavities/2");
    double lower = cavity.get("lower").asDouble();
    assertThat(lower).isLessThan(0.97 * cavity.get("minutes").asDouble());
    assertThat(seconds(cavity.get("enoughAt"))).isGreaterThan(enough + 5);
    JsonNode verdict = floor.close(id, "2026-03-02T06:20:00Z").expect(201).json();
    for (JsonNode one : verdict.at("/cavities/2/figures/equivalents")) {
      if (one.get("place").asString().equals("least")) {
        assertThat(lower / one.get("decidingLower").asDouble()).isCloseTo(1, within(0.002));
        return;
      }
    }
    throw new AssertionError("The verdict holds no minimum");
  }

  /** A quarter of an hour without a sample: a line across them would have had enough. */
  @Test
  void creditsNothingThatIsNotKnown() {
    post("1", 0, 300);
    double before = live().at("/cavities/2/minutes").asDouble();
    post("2", 1300, 1301);
    JsonNode gap = live().at("/cavities/2");
    assertThat(gap.get("minutes").asDouble()).isCloseTo(before, within(1.0));
    assertThat(gap.get("notComputed").asString()).contains("IT-3", "is not known for 16.75 min");
    if (gap.has("enoughAt")) {
      assertThat(seconds(gap.get("enoughAt"))).isGreaterThan(1305);
    }
  }

  /**
   * A newest sample of 250 °C is credited no more than the one before it, until another confirms
   * it.
   */
  @Test
  void doesNotCreditAJumpBeforeTheNextSampleConfirmsIt() {
    post("1", 0, 601);
    JsonNode before = live().at("/cavities/2");
    floor.samples(id, "key=2", "text/csv", jump(605)).expect(201);
    JsonNode jumped = live().at("/cavities/2");
    assertThat(seconds(jumped.get("enoughAt")))
        .isCloseTo(seconds(before.get("enoughAt")), within(5.0));
  }

  /** The media go by the same rule: 5 s of water of 250 °C are 11 minutes at 150 °C. */
  @Test
  void creditsAMediumNoJumpEither() {
    Map<String, Object> definition = floor.planned().definition();
    definition.put("media", List.of(floor.planned().wantedOfWater("RELEASE", 50, null)));
    floor.planned().revision("r2", "2026-02-01T00:00:00Z", definition).expect(201);
    id = floor.start(floor.cure());
    post("1", 0, 601);
    double before = live().at("/cavities/2/media/0/lower").asDouble();
    floor.samples(id, "key=2", "text/csv", jump(605)).expect(201);
    assertThat(live().at("/cavities/2/media/0/lower").asDouble()).isCloseTo(before, within(0.5));
  }

  /** What a channel says that cannot be believed counts nothing, as in the verdict. */
  @Test
  void countsOnlyWhatCanBeBelieved() {
    List<String> columns = new ArrayList<>(List.of("at", "step"));
    columns.addAll(HealthyLog.CODES);
    columns.remove("IT-3");
    floor.samples(id, "key=1", "text/csv", new HealthyLog(0, 900).csv(columns)).expect(201);
    StringBuilder csv = new StringBuilder("at,IT-3\n");
    for (int at = 0; at < 900; at += 5) {
      csv.append(HealthyLog.instant(at)).append(",900\n");
    }
    floor.samples(id, "key=2", "text/csv", csv.toString()).expect(201);
    JsonNode cavity = live().at("/cavities/2");
    assertThat(cavity.has("minutes")).isFalse();
    assertThat(cavity.has("enoughAt")).isFalse();
    assertThat(cavity.get("notComputed").asString()).contains("no believable temperature");
  }

  @Test
  void noStepRunsBeforeTheStart() {
    floor.samples(id, "key=1", "text/csv", new HealthyLog(-10, -5).csv()).expect(201);
    assertThat(live().has("step")).isFalse();
    post("2", 0, 30);
    assertThat(live().at("/step/elapsed").asInt()).isEqualTo(25);
  }

  @Test
  void tellsWhichChannelLeavesItsBandAndHowFast() {
    HealthyLog log = new HealthyLog(0, 600);
    List<String> others = new ArrayList<>(List.of("at", "step"));
    others.addAll(HealthyLog.CODES);
    others.remove("DT");
    floor.samples(id, "key=1", "text/csv", log.csv(others)).expect(201);
    dome("2", 0, 600, 0.3);
    JsonNode drift = live().at("/drifts");
    assertThat(drift).hasSize(1);
    assertThat(drift.at("/0/channel").asString()).isEqualTo("DT");
    assertThat(drift.at("/0/words").asString()).startsWith("Dome temperature DT leaves its band");
    assertThat(drift.at("/0/perMinute").asDouble()).isBetween(-0.32, -0.28);
    assertThat(drift.at("/0/outOfBand").asBoolean()).isFalse();
    assertThat(drift.at("/0/shared").asBoolean()).isTrue();
    dome("3", 600, 1000, 0.3);
    JsonNode out = live().at("/drifts/0");
    assertThat(out.get("outOfBand").asBoolean()).isTrue();
    assertThat(out.get("words").asString()).contains("is out of its band");
    assertThat(out.get("value").asDouble()).isLessThan(147.5);
    assertThat(out.get("unit").asString()).isEqualTo("Cel");
  }

  @Test
  void tellsOfALoadWithoutSchedule() {
    String bare =
        floor.start(
            floor.cure(
                "startedAt",
                "2025-12-31T06:00:00Z",
                "cavities",
                List.of(org.tarebook.fixtures.ScheduleFloor.object("cavity", 1, "mould", "M-1"))));
    floor.samples(bare, "key=1", "text/csv", "at,IP\n2025-12-31T06:01:00Z,20\n").expect(201);
    JsonNode now = floor.quality().get("/api/v1/cures/" + bare + "/live").expect(200).json();
    assertThat(now.get("elapsed").asInt()).isEqualTo(60);
    assertThat(now.has("step")).isFalse();
  }

  private JsonNode live() {
    return JSON.readTree(floor.quality().get("/api/v1/cures/" + id + "/live").expect(200).text());
  }

  private void post(String key, double from, double until) {
    floor.samples(id, "key=" + key, "text/csv", new HealthyLog(from, until).csv()).expect(201);
  }

  private static String jump(int at) {
    return "at,IT-3\n" + HealthyLog.instant(at) + ",250\n";
  }

  /** The dome, falling by so many kelvin a minute from 150.5 °C on. */
  private void dome(String key, int from, int until, double perMinute) {
    StringBuilder csv = new StringBuilder("at,DT\n");
    for (int at = from; at < until; at += 5) {
      String value = "%.2f".formatted(150.5 - perMinute * Math.max(0, at - 240) / 60.0);
      csv.append(HealthyLog.instant(at)).append(',').append(value).append('\n');
    }
    floor.samples(id, "key=" + key, "text/csv", csv.toString()).expect(201);
  }

  private static double seconds(JsonNode moment) {
    return Duration.between(Instant.parse(CureFloor.START), Instant.parse(moment.asString()))
            .toMillis()
        / 1000.0;
  }
}
