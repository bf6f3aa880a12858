package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.http.Cursor;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class TokensHttpTests {

  private static final String TOKENS = "/api/v1/tokens";

  private final RunningTarebook tarebook;
  private final String name = Codes.fresh("Ada Example ");

  TokensHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void aTokenJustMadeIsTakenAndCarriesItsNameIntoTheRecord() {
    Answer made = make("PERSON", "QUALITY", "");

    Client holder = holder(made);
    String line = Codes.fresh("L");
    holder
        .post(
            "/api/v1/lines",
            "{\"code\": \"%s\", \"name\": \"Mill\", \"kind\": \"MIXING\"}".formatted(line))
        .expect(201);
    assertThat(audited("line", line, "created").at("/actor").asString()).isEqualTo(name);
    assertThat(audited("line", line, "created").at("/actorKind").asString()).isEqualTo("PERSON");
  }

  @Test
  void theTextIs256BitsUnderItsPrefixAndNeverTheSameTwice() {
    Set<String> texts = new HashSet<>();
    for (int i = 0; i < 20; i++) {
      String text = make("PERSON", "READER", "").at("/text").asString();
      assertThat(text).matches("tb_[A-Za-z0-9_-]{43}");
      texts.add(text);
    }
    assertThat(texts).hasSize(20);
  }

  @Test
  void onlyTheSha256OfTheTextIsKept() {
    Answer made = make("PERSON", "READER", "");
    String text = made.at("/text").asString();

    assertThat(
            tarebook
                .sql()
                .sql("select sha256 from access_token where id = ?")
                .param(id(made))
                .query(String.class)
                .single())
        .isEqualTo(Secret.sha256(text))
        .matches("[0-9a-f]{64}");
    for (String table : List.of("access_token", "audit_entry")) {
      assertThat(tarebook.sql().sql("select * from " + table).query().listOfRows().toString())
          .as(table)
          .doesNotContain(text);
    }
    assertThat(tarebook.admin().get(TOKENS + "?limit=1000").text()).doesNotContain(text);
  }

  @Test
  void theSha256IsThePublishedFunction() {
    // FIPS 180-4 example "abc"
    assertThat(Secret.sha256("abc"))
        .isEqualTo("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "tb_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA",
        "nonsense",
        "tb_",
        "' or 1 = 1 --",
        "a b"
      })
  void aTokenThatNobodyMadeIsRefused(String text) {
    Answer answer = new Client(tarebook.base(), text).get("/api/v1/lines");

    assertThat(answer.status()).isEqualTo(401);
    assertThat(answer.problem()).isEqualTo("no-token");
    assertThat(answer.at("/detail").asString()).contains("unknown, expired or revoked");
  }

  @Test
  void aTokenInAnotherSchemeOrAnotherSpellingIsRefused() {
    String text = make("PERSON", "READER", "").at("/text").asString();

    for (String header :
        List.of("Basic " + text, text, "Bearer", "Bearer " + text.toUpperCase(Locale.ROOT))) {
      assertThat(tarebook.anonymous().get("/api/v1/lines", "Authorization", header).status())
          .as(header)
          .isEqualTo(401);
    }
    assertThat(
            tarebook.anonymous().get("/api/v1/lines", "Authorization", "bearer " + text).status())
        .as("the scheme is not case-sensitive (RFC 9110, 11.1)")
        .isEqualTo(200);
    assertThat(
            tarebook
                .anonymous()
                .get(
                    "/api/v1/lines",
                    "Authorization",
                    "Bearer " + text,
                    "Authorization",
                    "Bearer " + tarebook.admin().token())
                .status())
        .as("two tokens")
        .isEqualTo(401);
    assertThat(tarebook.anonymous().get("/api/v1/lines?access_token=" + text).status())
        .isEqualTo(401);
  }

  @Test
  void aTokenIsTakenUntilItExpiresAndNoLonger() {
    Instant start = Instant.parse("2026-05-04T06:00:00Z");
    tarebook.clock().set(start);
    Answer made = make("PERSON", "READER", ", \"expiresAt\": \"2026-05-04T08:00:00+01:00\"");
    assertThat(made.at("/token/expiresAt").asString()).isEqualTo("2026-05-04T07:00:00Z");

    tarebook.clock().set("2026-05-04T06:59:59.999999Z");
    assertThat(holder(made).get("/api/v1/lines").status()).isEqualTo(200);
    tarebook.clock().set("2026-05-04T07:00:00Z");
    assertThat(holder(made).get("/api/v1/lines").status()).isEqualTo(401);
  }

  @Test
  void withoutAnExpiryATokenIsValidForAYear() {
    tarebook.clock().set("2026-05-04T06:00:00Z");

    assertThat(make("PERSON", "READER", "").at("/token/expiresAt").asString())
        .isEqualTo("2027-05-04T06:00:00Z");
  }

  @ParameterizedTest
  @CsvSource({
    "2026-05-04T06:00:00.000001Z, true",
    "2028-05-03T06:00:00Z, true",
    "2028-05-03T06:00:00.000001Z, false",
    "2026-05-04T06:00:00Z, false",
    "2026-05-04T05:59:59Z, false"
  })
  void anExpiryLiesAheadByAtMost730Days(String expiresAt, boolean taken) {
    tarebook.clock().set("2026-05-04T06:00:00Z");

    Answer answer = make("PERSON", "READER", ", \"expiresAt\": \"" + expiresAt + "\"");

    assertThat(answer.status()).isEqualTo(taken ? 201 : 422);
    if (!taken) {
      assertThat(answer.problem()).isEqualTo("rule-broken");
      assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo("/expiresAt");
    }
  }

  @Test
  void revocationHoldsFromTheNextRequestOnAndIsRepeatable() {
    Answer made = make("PERSON", "READER", "");
    assertThat(holder(made).get("/api/v1/lines").status()).isEqualTo(200);

    Answer first = tarebook.admin().post(TOKENS + "/" + id(made) + "/revocation", "");
    assertThat(first.status()).isEqualTo(201);
    assertThat(holder(made).get("/api/v1/lines").status()).isEqualTo(401);

    tarebook.clock().forward(Duration.ofHours(1));
    Answer second = tarebook.admin().post(TOKENS + "/" + id(made) + "/revocation", "");
    assertThat(second.status()).isEqualTo(200);
    assertThat(second.at("/revokedAt")).isEqualTo(first.at("/revokedAt"));
    assertThat(second.at("/revokedBy")).isEqualTo(first.at("/revokedBy"));
  }

  @Test
  void makingAndRevokingAreAuditedOnceEach() {
    Answer made = make("PERSON", "READER", "");
    String code = Long.toString(id(made));
    tarebook.admin().post(TOKENS + "/" + code + "/revocation", "").expect(201);
    tarebook.admin().post(TOKENS + "/" + code + "/revocation", "").expect(200);

    assertThat(audited("token", code, "created").at("/detail").asString())
        .contains(name, "READER")
        .doesNotContain("tb_");
    assertThat(audited("token", code, "revoked").at("/detail").asString()).contains("revokedAt");
    assertThat(entries("token", code)).hasSize(2);
  }

  @Test
  void aTokenThatIsNotThereCannotBeRevoked() {
    Answer answer = tarebook.admin().post(TOKENS + "/404404/revocation", "");

    assertThat(answer.expect(404).problem()).isEqualTo("not-found");
    assertThat(tarebook.admin().post(TOKENS + "/first/revocation", "").expect(400).problem())
        .isEqualTo("invalid-request");
  }

  @ParameterizedTest
  @CsvSource({
    "STATION, STATION, true, ''",
    "STATION, STATION, false, /station",
    "STATION, READER, true, /role",
    "STATION, QUALITY, true, /role",
    "STATION, ADMIN, true, /role",
    "PERSON, READER, false, ''",
    "PERSON, QUALITY, false, ''",
    "PERSON, ADMIN, false, ''",
    "PERSON, STATION, false, /role",
    "PERSON, QUALITY, true, /station",
    "SYSTEM, READER, false, ''",
    "SYSTEM, STATION, false, ''",
    "SYSTEM, QUALITY, false, /role",
    "SYSTEM, ADMIN, false, /role",
    "SYSTEM, STATION, true, /station"
  })
  void eachKindTakesItsOwnRolesAndOnlyAStationAStation(
      String kind, String role, boolean station, String fault) {
    String member = station ? ", \"station\": \"" + Plant.station(tarebook) + "\"" : "";

    Answer answer = make(kind, role, member);

    if (fault.isEmpty()) {
      answer.expect(201);
    } else {
      assertThat(answer.expect(422).problem()).isEqualTo("rule-broken");
      assertThat(answer.at("/errors").size()).isEqualTo(1);
      assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(fault);
      assertThat(answer.at("/errors/0/detail").asString()).startsWith("must");
    }
  }

  @Test
  void aStationThatIsNotRecordedIsNamedInTheRefusal() {
    Answer answer = make("STATION", "STATION", ", \"station\": \"S-NOWHERE\"");

    assertThat(answer.expect(422).problem()).isEqualTo("unknown-code");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo("/station");
    assertThat(answer.at("/detail").asString()).contains("S-NOWHERE");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{} | /name",
        "{\"name\": \"\", \"kind\": \"PERSON\", \"role\": \"READER\"} | /name",
        "{\"name\": \"x\", \"kind\": \"ROBOT\", \"role\": \"READER\"} | /kind",
        "{\"name\": \"x\", \"kind\": \"PERSON\", \"role\": \"OWNER\"} | /role",
        "{\"name\": \"x\", \"kind\": \"PERSON\", \"role\": \"READER\", \"life\": 3} | /life",
        "{\"name\": \"x\", \"kind\": \"PERSON\", \"role\": \"READER\", \"station\": \"a b\"}"
            + " | /station",
        "{\"name\": \"x\", \"kind\": \"PERSON\", \"role\": \"READER\", \"expiresAt\": \"2030-01-01\"}"
            + " | /expiresAt"
      })
  void aRequestThatBreaksTheContractIsRefusedWithThePlace(String body, String pointer) {
    Answer answer = tarebook.admin().post(TOKENS, body);

    assertThat(answer.expect(400).problem()).isEqualTo("invalid-request");
    assertThat(answer.json().get("errors").valueStream().map(e -> e.get("pointer").asString()))
        .contains(pointer);
  }

  @Test
  void aStationsActorCarriesItsStationAndAGatewaysDoesNot() {
    String station = Plant.station(tarebook);
    Tokens tokens = tarebook.bean(Tokens.class);

    String text =
        make("STATION", "STATION", ", \"station\": \"" + station + "\"").at("/text").asString();
    assertThat(tokens.find(text).orElseThrow().actor().station()).isEqualTo(station);
    String gateway = make(Codes.fresh("gateway"), "SYSTEM", "STATION", "").at("/text").asString();
    assertThat(tokens.find(gateway).orElseThrow().actor().station()).isNull();
  }

  @Test
  void theListIsReadInPagesInTheOrderOfMaking() {
    for (int i = 0; i < 3; i++) {
      make("PERSON", "READER", "").expect(201);
    }
    Client admin = tarebook.admin();
    List<Long> whole = ids(admin.get(TOKENS + "?limit=1000").expect(200));

    List<Long> inPages = new ArrayList<>();
    String next = TOKENS + "?limit=2";
    while (next != null && inPages.size() < whole.size()) {
      Answer page = admin.get(next).expect(200);
      assertThat(ids(page)).hasSizeLessThanOrEqualTo(2);
      inPages.addAll(ids(page));
      next = page.json().has("next") ? page.at("/next").asString() : null;
    }
    assertThat(inPages).isSorted().isEqualTo(whole);
  }

  @Test
  void aForgedCursorIsRefused() {
    Client admin = tarebook.admin();

    String tokens = TOKENS + "?cursor=" + new Cursor("not a number").seal("token");
    assertThat(admin.get(tokens).expect(400).problem()).isEqualTo("cursor-does-not-fit");
    for (String place :
        List.of("", "yesterday 1", "2026-05-04T06:00:00Z", "2026-05-04T06:00:00Z x")) {
      String audit = "/api/v1/audit?cursor=" + new Cursor(place).seal("null|null");
      assertThat(admin.get(audit).expect(400).problem()).isEqualTo("cursor-does-not-fit");
    }
  }

  private Answer make(String kind, String role, String more) {
    return make(name, kind, role, more);
  }

  private Answer make(String name, String kind, String role, String more) {
    return tarebook
        .admin()
        .post(
            TOKENS,
            "{\"name\": \"%s\", \"kind\": \"%s\", \"role\": \"%s\"%s}"
                .formatted(name, kind, role, more));
  }

  private Client holder(Answer made) {
    return new Client(tarebook.base(), made.expect(201).at("/text").asString());
  }

  private static long id(Answer made) {
    return made.expect(201).at("/token/id").asLong();
  }

  private static List<Long> ids(Answer page) {
    return page.json().get("items").valueStream().map(item -> item.get("id").asLong()).toList();
  }

  private List<JsonNode> entries(String subject, String code) {
    return tarebook
        .quality()
        .get("/api/v1/audit?subject=" + subject + "&code=" + code)
        .expect(200)
        .json()
        .get("items")
        .valueStream()
        .toList();
  }

  private JsonNode audited(String subject, String code, String action) {
    return entries(subject, code).stream()
        .filter(entry -> entry.get("action").asString().equals(action))
        .findFirst()
        .orElseThrow();
  }
}
