package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

@OnBothDatabases
class NameHttpTests {

  private final RunningTarebook tarebook;
  private final String name = Codes.fresh("Zoë Example ");

  NameHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void aNameStaysWithThePersonItWasGivenTo() {
    make(name, "PERSON", "READER", "").expect(201);

    make(name, "PERSON", "QUALITY", "").expect(201);
    refused(make(name, "SYSTEM", "READER", ""), "belongs to the person '" + name + "'");
    refused(make(name, "STATION", "STATION", station()), "belongs to the person '" + name + "'");
  }

  @Test
  void aNameStaysWithItsPersonWhenTheTokenIsRevoked() {
    long token = make(name, "PERSON", "READER", "").expect(201).at("/token/id").asLong();
    tarebook.admin().post("/api/v1/tokens/" + token + "/revocation", "").expect(201);

    refused(make(name, "SYSTEM", "READER", ""), "belongs to the person");
    make(name, "PERSON", "READER", "").expect(201);
  }

  @Test
  void aStationsNameStaysWithTheStation() {
    String own = station();
    make(name, "STATION", "STATION", own).expect(201);

    make(name, "STATION", "STATION", own).expect(201);
    refused(make(name, "STATION", "STATION", station()), "of station");
  }

  @Test
  void aPersonIsWrittenInOneWay() {
    make(name, "PERSON", "READER", "").expect(201);

    for (String other :
        new String[] {name.toUpperCase(java.util.Locale.ROOT), name.replace("Zoë E", "Ｚoë E")}) {
      refused(make(other, "PERSON", "READER", ""), "is written '" + name + "'");
    }
  }

  @Test
  void aNameIsComposedAndItsBlanksAreSingle() {
    String loose = "  " + name.replace("Zoë", "Zoe\u0308").replace(" ", "\u00A0 ") + " ";

    assertThat(make(loose, "PERSON", "READER", "").expect(201).at("/token/name").asString())
        .isEqualTo(name);
    make(name, "PERSON", "READER", "").expect(201);
  }

  @ParameterizedTest
  @ValueSource(strings = {"tarebook", " Tarebook ", "first-administrator", "FIRST-ADMINISTRATOR"})
  void theServicesOwnNamesAreNotGivenAway(String reserved) {
    refused(make(reserved, "PERSON", "READER", ""), "is a name of the service itself");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "Ada\\nExample",
        "Ada\\u202Eelpmaxe",
        "Ada\\u200B",
        "Ada\\u0007",
        "Ada\\u2028Example",
        "Ada\\uE000",
        "Ada\\u200D",
        "\\u00A0"
      })
  void aNameIsOneLineOfCharactersThatCanBeSeen(String illegible) {
    Answer answer = make(illegible, "PERSON", "READER", "");

    assertThat(answer.status()).as(answer.text()).isIn(400, 422);
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo("/name");
  }

  private String station() {
    return ", \"station\": \"" + Plant.station(tarebook) + "\"";
  }

  private Answer make(String name, String kind, String role, String more) {
    return tarebook
        .admin()
        .post(
            "/api/v1/tokens",
            "{\"name\": \"%s\", \"kind\": \"%s\", \"role\": \"%s\"%s}"
                .formatted(name, kind, role, more));
  }

  private static void refused(Answer answer, String why) {
    assertThat(answer.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo("/name");
    assertThat(answer.at("/errors/0/detail").asString()).contains(why);
  }
}
