package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.tarebook.check.CheckResult.FAIL;
import static org.tarebook.check.CheckResult.PASS;

import java.io.IOException;
import java.io.InputStream;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Random;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

class CheckHistoryTests {

  /** OIML G 21:2017, Annex A.10, as worked cases. */
  static Stream<JsonNode> containment() throws IOException {
    try (InputStream stream =
        CheckHistoryTests.class.getResourceAsStream("/reference/trade/containment_window.json")) {
      JsonNode table = new JsonMapper().readTree(Objects.requireNonNull(stream));
      return StreamSupport.stream(table.get("cases").spliterator(), false);
    }
  }

  @ParameterizedTest
  @MethodSource("containment")
  void containsWhatWasMadeAroundABadCheck(JsonNode row) {
    List<CheckOutcome> checks = new ArrayList<>();
    row.get("checks")
        .forEach(
            check ->
                checks.add(
                    new CheckOutcome(
                        checks.size() + 1,
                        at(check.get(0).asString()),
                        check.get(1).asString().equals("good") ? PASS : FAIL,
                        null)));
    CheckHistory history = new CheckHistory(checks);
    assertThat(row.get("product")).hasSameSizeAs(row.get("status")).isNotEmpty();
    for (int i = 0; i < row.get("product").size(); i++) {
      JsonNode product = row.get("product").get(i);
      JsonNode status = row.get("status").get(i);
      assertThat(status.get(0)).isEqualTo(product.get(1));
      assertThat(history.at(at(product.get(0).asString())))
          .as("%s %s", row.get("id"), product)
          .isEqualTo(Verification.valueOf(status.get(1).asString().toUpperCase(Locale.ROOT)));
    }
  }

  @Test
  void keepsADoubtOpenUntilACheckLeavesTheInstrumentRight() {
    assertThat(doubts(found(1, "06:00", PASS), found(2, "10:00", FAIL)))
        .containsExactly(new Doubt(2, at("06:00"), at("10:00"), null, null));
    assertThat(
            doubts(
                found(1, "06:00", PASS),
                found(2, "10:00", FAIL),
                found(3, "12:00", FAIL),
                found(4, "12:30", PASS)))
        .containsExactly(new Doubt(2, at("06:00"), at("10:00"), 4L, at("12:30")));
  }

  @Test
  void closesTheDoubtAtOnceWhenTheSameCheckLeavesTheInstrumentRight() {
    CheckOutcome adjusted = new CheckOutcome(2, at("10:00"), FAIL, PASS);
    assertThat(doubts(found(1, "06:00", PASS), adjusted))
        .containsExactly(new Doubt(2, at("06:00"), at("10:00"), 2L, at("10:00")));
    CheckHistory history =
        new CheckHistory(List.of(found(1, "06:00", PASS), adjusted, found(3, "14:00", PASS)));
    assertThat(history.at(at("09:59"))).isEqualTo(Verification.SUSPECT);
    assertThat(history.at(at("10:00"))).isEqualTo(Verification.CLEARED);
  }

  @Test
  void suspectsEverythingEarlierWhereNoGoodCheckIsOnRecord() {
    assertThat(doubts(found(1, "10:00", FAIL)))
        .containsExactly(new Doubt(1, Instant.EPOCH, at("10:00"), null, null));
  }

  @Test
  void letsACheckWithoutAsFoundSayNothingOfTheTimeBefore() {
    CheckOutcome adjusted = new CheckOutcome(2, at("08:00"), null, PASS);
    CheckHistory history =
        new CheckHistory(List.of(found(1, "06:00", PASS), adjusted, found(3, "10:00", FAIL)));
    assertThat(history.at(at("07:00"))).isEqualTo(Verification.UNVERIFIED);
    assertThat(history.at(at("09:00"))).isEqualTo(Verification.SUSPECT);
    assertThat(history.doubts().all())
        .containsExactly(new Doubt(3, at("08:00"), at("10:00"), null, null));
  }

  @Test
  void doubtsAnInstrumentThatWasLeftWrongButNotWhatCameBefore() {
    CheckOutcome leftWrong = new CheckOutcome(2, at("10:00"), PASS, FAIL);
    assertThat(doubts(found(1, "06:00", PASS), leftWrong, found(3, "11:00", PASS)))
        .containsExactly(new Doubt(2, at("10:00"), at("10:00"), 3L, at("11:00")));
    assertThat(doubts(new CheckOutcome(1, at("10:00"), null, FAIL)))
        .containsExactly(new Doubt(1, at("10:00"), at("10:00"), null, null));
  }

  @Test
  void ordersChecksOfTheSameInstantByIdWhateverOrderTheyComeIn() {
    assertThat(doubts(found(8, "10:00", PASS), found(7, "10:00", FAIL), found(1, "06:00", PASS)))
        .containsExactly(new Doubt(7, at("06:00"), at("10:00"), 8L, at("10:00")));
    assertThat(doubts(found(7, "10:00", PASS), found(8, "10:00", FAIL)))
        .containsExactly(new Doubt(8, at("10:00"), at("10:00"), null, null));
  }

  @Test
  void knowsWhenTheInstrumentWasLastRight() {
    CheckOutcome mended = new CheckOutcome(2, at("08:00"), FAIL, PASS);
    assertThat(
            new CheckHistory(List.of(found(3, "10:00", FAIL), mended, found(1, "06:00", PASS)))
                .lastRight())
        .contains(at("08:00"));
    assertThat(new CheckHistory(List.of(found(1, "10:00", FAIL))).lastRight()).isEmpty();
    assertThat(new CheckHistory(List.of(new CheckOutcome(1, at("10:00"), PASS, FAIL))).lastRight())
        .isEmpty();
  }

  @Test
  void leavesEverythingUnverifiedWithoutAnyCheck() {
    CheckHistory history = new CheckHistory(List.of());
    assertThat(history.at(at("10:00"))).isEqualTo(Verification.UNVERIFIED);
    assertThat(history.doubts().all()).isEmpty();
  }

  @Test
  void suspectsAMomentExactlyWhereADoubtLiesWhateverTheChecksAre() {
    Random random = new Random(20260329);
    for (int run = 0; run < 2_000; run++) {
      List<CheckOutcome> checks = anyChecks(random);
      CheckHistory history = new CheckHistory(checks);
      List<Doubt> doubts = history.doubts().all();
      Collections.shuffle(checks, random);
      assertThat(new CheckHistory(checks).doubts().all()).isEqualTo(doubts);
      for (int second = 0; second <= 20; second++) {
        Instant moment = Instant.ofEpochSecond(second);
        long covering =
            doubts.stream().filter(d -> d.suspectAt(moment) || d.failedAt(moment)).count();
        assertThat(covering).isLessThanOrEqualTo(1);
        assertThat(history.at(moment) == Verification.SUSPECT)
            .as("%s at %d", checks, second)
            .isEqualTo(covering == 1);
      }
    }
  }

  @Test
  void refusesACheckThatLookedAtNothing() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new CheckOutcome(5, at("10:00"), null, null))
        .withMessage("check 5 has neither as found nor as left");
  }

  static List<CheckOutcome> anyChecks(Random random) {
    List<CheckOutcome> checks = new ArrayList<>();
    int count = random.nextInt(9);
    for (int id = 1; id <= count; id++) {
      CheckResult asFound = anyResult(random);
      CheckResult asLeft = anyResult(random);
      checks.add(
          new CheckOutcome(
              id,
              Instant.ofEpochSecond(1 + random.nextInt(18)),
              asFound == null && asLeft == null ? PASS : asFound,
              asLeft));
    }
    return checks;
  }

  private static CheckResult anyResult(Random random) {
    int pick = random.nextInt(3);
    return pick == 0 ? null : pick == 1 ? PASS : FAIL;
  }

  private static List<Doubt> doubts(CheckOutcome... checks) {
    return new CheckHistory(List.of(checks)).doubts().all();
  }

  private static CheckOutcome found(long id, String time, CheckResult asFound) {
    return new CheckOutcome(id, at(time), asFound, null);
  }

  private static Instant at(String time) {
    return Instant.parse("2026-03-02T" + time + ":00Z");
  }
}
