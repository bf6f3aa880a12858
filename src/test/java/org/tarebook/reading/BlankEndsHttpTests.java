package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

/** Two names that people read as one would be two lots, dies or items. */
@OnBothDatabases
class BlankEndsHttpTests {

  private static final String AT = "2026-03-29T00:59:59Z";

  private final RunningTarebook tarebook;

  BlankEndsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @ParameterizedTest
  @ValueSource(strings = {"die", "lot", "operator", "item", "truck", "leaf"})
  void areRefusedInNames(String member) {
    ShopFloor floor = new ShopFloor(tarebook, "[lb_av]");
    for (String name : new String[] {" ", "L-1 ", " L-1", "\u00a0L-1"}) {
      Answer refused = floor.post(floor.posting(5, "kg", AT, member, name));
      assertThat(refused.status()).isEqualTo(400);
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/" + member);
      assertThat(refused.at("/errors/0/detail").asString())
          .contains("must not begin or end with a blank");
    }
    Answer made = floor.post(floor.posting(5, "kg", AT, "die", "D 1", "lot", "L 1")).expect(201);
    Answer amended =
        tarebook
            .quality()
            .post(
                made.header("Location") + "/amendments",
                "{\"key\": \"%s\", \"kind\": \"REPLACE\", \"reason\": \"r\", \"replacement\": {\"%s\": \"L-1 \"}}"
                    .formatted(Codes.fresh("A"), member));
    assertThat(amended.status()).isEqualTo(400);
    assertThat(amended.at("/errors/0/pointer").asString()).isEqualTo("/replacement/" + member);
  }
}
