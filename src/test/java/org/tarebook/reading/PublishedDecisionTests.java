package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

/**
 * Decision tables posted as readings over HTTP and compared with what the tables say. Sources stand
 * in the first line of each table: exact decimal and fraction arithmetic, and the two methods of
 * comparing with limits of ASTM E29.
 */
@OnBothDatabases
class PublishedDecisionTests {

  private static final String AT = "2026-03-02T06:00:00Z";

  private final ShopFloor floor;

  PublishedDecisionTests(RunningTarebook tarebook) {
    this.floor = new ShopFloor(tarebook, "kg");
  }

  @Test
  void treadStripsAreAcceptedRejectedLightOrRejectedHeavy() {
    for (Map<String, String> row : ReferenceTable.read("trade/tread_strip_decisions.csv")) {
      if (row.get("actual").length() > 12) {
        continue; // more decimals than an instrument shows: refused at intake, tested elsewhere
      }
      BigDecimal target = new BigDecimal(row.get("target"));
      String code = characteristic(row.get("unit"));
      floor.specification(
          code,
          target.add(new BigDecimal(row.get("lower_deviation"))).toPlainString(),
          target.add(new BigDecimal(row.get("upper_deviation"))).toPlainString(),
          row.get("unit"));
      Answer answer = post(code, row.get("actual"), row.get("unit"));
      String decision =
          answer.at("/result").asString().equals("PASS")
              ? "accept"
              : answer.at("/direction").asString().equals("BELOW")
                  ? "reject light"
                  : "reject heavy";
      assertThat(decision).as(row.get("case")).isEqualTo(row.get("decision"));
    }
  }

  @Test
  void readingsAreConvertedExactlyIntoTheUnitOfTheLimits() {
    for (Map<String, String> row : ReferenceTable.read("trade/decision_after_conversion.csv")) {
      if (new BigDecimal(row.get("reading")).scale() > 9) {
        continue;
      }
      String code = characteristic(row.get("limit_unit"));
      floor.specification(code, row.get("low"), row.get("high"), row.get("limit_unit"));
      Answer answer = post(code, row.get("reading"), row.get("unit"));
      String decision = answer.at("/result").asString().equals("PASS") ? "accept" : "reject";
      assertThat(decision).as(row.get("case")).isEqualTo(row.get("decision_absolute_method"));
      assertThat(new BigDecimal(answer.at("/valueInLimitUnit").asString()))
          .as(row.get("case"))
          .isCloseTo(
              new BigDecimal(row.get("reading_in_limit_unit")),
              org.assertj.core.data.Offset.offset(new BigDecimal("1e-15")));
    }
  }

  @Test
  void theAbsoluteAndTheRoundingMethodDecideAsDescribed() {
    for (Map<String, String> row : ReferenceTable.read("trade/rounding_conformance.csv")) {
      for (String method : new String[] {"ABSOLUTE", "ROUNDING"}) {
        String code = characteristic("kg");
        boolean upper = row.get("side").equals("max");
        BigDecimal limit = new BigDecimal(row.get("limit"));
        floor
            .specification(
                code,
                json(
                    "validFrom",
                    "2000-01-01T00:00:00Z",
                    "lower",
                    upper ? null : limit,
                    "upper",
                    upper ? limit : null,
                    "unit",
                    "kg",
                    "comparison",
                    method,
                    "roundingInterval",
                    method.equals("ROUNDING") ? new BigDecimal(row.get("rounding_interval")) : null,
                    "reason",
                    "table"))
            .expect(201);
        Answer answer = post(code, row.get("observed"), "kg");
        String decision =
            answer.at("/result").asString().equals("PASS") ? "conforms" : "does not conform";
        String wanted = row.get(method.equals("ROUNDING") ? "rounding_method" : "absolute_method");
        assertThat(decision).as(row.get("case") + " " + method).isEqualTo(wanted);
      }
    }
  }

  private String characteristic(String unit) {
    String code = Codes.fresh("C");
    floor.characteristic(code, unit, "MEASURED");
    return code;
  }

  private Answer post(String characteristic, String value, String unit) {
    return floor
        .post(floor.posting(new BigDecimal(value), unit, AT, "characteristic", characteristic))
        .expect(201);
  }
}
