package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/**
 * A study holds all readings against the revision in force at the last of them, and a claim says
 * so.
 */
@OnBothDatabases
class ChangedSpecificationTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");

  private final RunningTarebook tarebook;

  ChangedSpecificationTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void aClaimSaysThatThereWereTwoRevisionsInItsWindow() {
    tarebook.clock().set("2024-05-06T12:00:00Z");
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    revision(bench, "2000-01-01T00:00:00Z", "4.0");
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, Duration.ofMinutes(5));
    revision(bench, "2024-05-06T13:00:00Z", "4.382");

    Answer before = claim(bench, FROM.plus(Duration.ofHours(13)));
    assertThat(before.at("/supported").asBoolean()).isTrue();
    assertThat(before.text()).doesNotContain("SPECIFICATION_CHANGED").contains("0 of 60");

    tarebook.clock().set("2024-05-06T14:00:00Z");
    Answer still = claim(bench, FROM.plus(Duration.ofDays(1)));
    assertThat(revisionUsed(bench)).isEqualTo(1);
    assertThat(still.text()).doesNotContain("SPECIFICATION_CHANGED").contains("0 of 60");

    Instant known = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(2));
    String late = bench.post("4.384", Instant.parse("2024-05-06T13:00:00Z")).at("/id").asString();
    assertThat(revisionUsed(bench, "&asOf=" + known.plus(Duration.ofMinutes(1)))).isEqualTo(1);
    Answer after = claim(bench, FROM.plus(Duration.ofDays(1)));
    assertThat(revisionUsed(bench)).isEqualTo(2);
    assertThat(after.at("/supported").asBoolean()).isFalse();
    assertThat(after.at("/words").asString())
        .contains("24 of 61")
        .contains("2 revisions of the specification were in force in the window")
        .contains("held against revision 2 (4.382 to 5.000 kg)");

    bench.voided(late).expect(201);
    assertThat(revisionUsed(bench)).isEqualTo(1);
  }

  @Test
  void aClaimSaysThatAPartOfItsWindowHadNoSpecification() {
    tarebook.clock().set("2024-05-06T12:00:00Z");
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, Duration.ofMinutes(5));
    tarebook.clock().set("2024-05-06T14:00:00Z");
    revision(bench, "2024-05-06T13:00:00Z", "4.0");
    bench.post("4.384", Instant.parse("2024-05-06T13:30:00Z"));

    Answer claim = claim(bench, FROM.plus(Duration.ofDays(1)));
    assertThat(claim.text()).contains("PARTLY_WITHOUT_SPECIFICATION");
    String kept = Codes.fresh("K");
    bench.keep(kept, FROM, FROM.plus(Duration.ofDays(1))).expect(201);
    tarebook.clock().forward(Duration.ofMinutes(1));
    bench
        .engineer()
        .post(
            "/api/v1/characteristics/" + bench.characteristic() + "/specifications/1/withdrawal",
            "{\"reason\":\"another drawing\"}")
        .expect(200);
    assertThat(
            bench
                .engineer()
                .get("/api/v1/kept-studies/" + kept + "/again")
                .expect(200)
                .at("/words")
                .asString())
        .contains("Every figure comes out as it was kept")
        .contains("Revision 1 of the specification, which its readings were held against")
        .contains("(another drawing)");
  }

  private static int revisionUsed(ChartBench bench) {
    return revisionUsed(bench, "");
  }

  private static int revisionUsed(ChartBench bench, String more) {
    return bench
        .study(FROM, FROM.plus(Duration.ofDays(1)), more)
        .at("/specification/revision")
        .asInt();
  }

  private static Answer claim(ChartBench bench, Instant before) {
    return bench
        .engineer()
        .get(
            "/api/v1/claims?outsideBelow=0.1&chart="
                + bench.chart()
                + "&measuredFrom="
                + FROM
                + "&measuredBefore="
                + before)
        .expect(200);
  }

  private static void revision(ChartBench bench, String validFrom, String lower) {
    bench
        .floor()
        .specification(
            bench.characteristic(),
            json(
                "validFrom",
                validFrom,
                "lower",
                new BigDecimal(lower),
                "upper",
                5,
                "unit",
                "kg",
                "comparison",
                "ABSOLUTE",
                "reason",
                "drawing"))
        .expect(201);
  }
}
