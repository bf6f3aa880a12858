package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Reference;
import tools.jackson.databind.JsonNode;

/** Blow points against an example rule, which is common practice and no published one. */
class BlowPointTests {

  @Test
  void limitsAreInclusiveAndTheFactorIsExact() {
    for (JsonNode one : Reference.json("trade/cure_judgement.json").get("cases")) {
      BigDecimal minutes = decimal(one, "equiv_min_at_slowest_point");
      BlowPoint blow =
          new BlowPoint(decimal(one, "blow_point_equiv_min"), decimal(one, "safety_factor"));
      BigDecimal t90 = decimal(one, "t90_ref_min");
      String name = one.get("id").asString();
      assertThat(blow.needed().max(t90))
          .as(name)
          .isEqualByComparingTo(decimal(one, "minimum_needed"));
      if (one.get("log_state").asString().equals("ok")) {
        String judgement = one.get("judgement").asString();
        assertThat(blow.porousWith(minutes))
            .as(name)
            .isEqualTo(judgement.equals("under blow point"));
        boolean under = minutes.compareTo(blow.needed()) < 0 || minutes.compareTo(t90) < 0;
        assertThat(under).as(name).isEqualTo(judgement.startsWith("under"));
      }
    }
  }

  private static BigDecimal decimal(JsonNode of, String member) {
    return new BigDecimal(of.get(member).asString());
  }
}
