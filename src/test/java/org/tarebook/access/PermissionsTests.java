package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.access.PermissionsTests.Holder.ADMINISTRATOR;
import static org.tarebook.access.PermissionsTests.Holder.GATEWAY;
import static org.tarebook.access.PermissionsTests.Holder.PERSON_READING;
import static org.tarebook.access.PermissionsTests.Holder.QUALITY;
import static org.tarebook.access.PermissionsTests.Holder.STATION;
import static org.tarebook.access.PermissionsTests.Holder.SYSTEM_READING;

import java.net.http.HttpRequest.BodyPublishers;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

@OnBothDatabases
class PermissionsTests {

  private final RunningTarebook tarebook;
  private final Map<Holder, Client> clients = new EnumMap<>(Holder.class);

  PermissionsTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    clients.put(STATION, tarebook.station(Plant.station(tarebook)));
    clients.put(GATEWAY, tarebook.system(Codes.fresh("gateway"), "STATION"));
    clients.put(SYSTEM_READING, tarebook.system(Codes.fresh("office"), "READER"));
    clients.put(PERSON_READING, tarebook.reader());
    clients.put(QUALITY, tarebook.quality());
    clients.put(ADMINISTRATOR, tarebook.admin());
  }

  enum Holder {
    STATION,
    GATEWAY,
    SYSTEM_READING,
    PERSON_READING,
    QUALITY,
    ADMINISTRATOR
  }

  record Row(String method, String path, Set<Holder> allowed) {}

  static Stream<Row> rows() {
    Set<Holder> all = EnumSet.allOf(Holder.class);
    Set<Holder> quality = EnumSet.of(QUALITY, ADMINISTRATOR);
    Set<Holder> admin = EnumSet.of(ADMINISTRATOR);
    Set<Holder> asking = EnumSet.complementOf(EnumSet.of(STATION, GATEWAY));
    Stream<Row> reading =
        Stream.of("lines", "stations", "charts/C-1", "not/there")
            .map(path -> new Row("GET", path, all));
    Stream<Row> posting =
        Stream.of("readings", "instrument-checks")
            .map(path -> new Row("POST", path, EnumSet.of(STATION, GATEWAY, QUALITY)));
    Stream<Row> byName =
        Stream.of(
                "readings/1/amendments",
                "characteristics/C-1/specifications",
                "characteristics/C-1/specifications/1/withdrawal",
                "specifications",
                "measuring-uncertainties",
                "measuring-uncertainties/1/withdrawal",
                "instruments/I-1/revisions",
                "instrument-checks/1/voidings",
                "items/I-1/corrections",
                "compounds/C-1/kinetics",
                "compounds/C-1/cure-meter-curves",
                "limit-sets",
                "limit-sets/L-1/withdrawals",
                "signals/1/responses")
            .map(path -> new Row("POST", path, quality));
    Stream<Row> plant =
        Stream.of(
                "lines",
                "stations",
                "instruments",
                "components",
                "products",
                "shift-calendars",
                "characteristics",
                "control-plan",
                "items")
            .flatMap(
                path ->
                    Stream.of(
                        new Row("POST", path, quality), new Row("PUT", path + "/X-1", quality)));
    Stream<Row> special =
        Stream.of(
            new Row("GET", "audit", quality),
            new Row("HEAD", "audit", quality),
            new Row("HEAD", "lines", all),
            new Row("GET", "readings", EnumSet.complementOf(EnumSet.of(STATION))),
            new Row("GET", "capability", asking),
            new Row("GET", "measuring-uncertainties", asking),
            new Row("POST", "limit-sets/preview", asking),
            new Row("POST", "bias-studies", asking),
            new Row("POST", "uncertainty-budgets", asking),
            new Row("GET", "resolution", asking),
            new Row("GET", "tokens", admin),
            new Row("GET", "backup", admin),
            new Row("POST", "tokens", admin),
            new Row("POST", "tokens/1/revocation", admin));
    return Stream.of(reading, posting, byName, plant, special).flatMap(row -> row);
  }

  @ParameterizedTest
  @MethodSource("rows")
  void eachRowOfTheTableLetsInItsHoldersAndNobodyElse(Row row) {
    String path = "/api/v1/" + row.path();
    refused(ask(tarebook.anonymous(), row.method(), path), row, 401, "no-token");
    for (Holder holder : Holder.values()) {
      Answer answer = ask(clients.get(holder), row.method(), path);
      if (row.allowed().contains(holder)) {
        assertThat(answer.status()).as("%s: %s", holder, row).isNotIn(401, 403).isLessThan(500);
      } else {
        refused(answer, row, 403, "not-allowed");
      }
    }
  }

  @Test
  void aSystemMayNotDoWhatAPersonAnswersForEvenWithTheRole() {
    Client system = tarebook.system(Codes.fresh("robot"), "QUALITY");

    Answer answer = ask(system, "POST", "/api/v1/limit-sets");

    refused(answer, new Row("POST", "limit-sets", Set.of()), 403, "not-allowed");
    assertThat(answer.at("/detail").asString())
        .contains("a person's own token", "QUALITY or ADMIN");
  }

  @Test
  void aRefusalSaysWhatIsNeededAndWhatTheTokenHas() {
    Answer answer = ask(clients.get(PERSON_READING), "POST", "/api/v1/lines");

    assertThat(answer.at("/detail").asString())
        .contains("QUALITY or ADMIN", "person's with the role READER");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/actuator/health",
        "/actuator/health/liveness",
        "/actuator/health/readiness",
        "/problems",
        "/problems/no-token",
        "/openapi",
        "/openapi.yaml",
        "/openapi/swagger-config",
        "/swagger-ui/index.html",
        "/swagger-ui/index.css",
        "/swagger-ui/swagger-ui.css",
        "/swagger-ui/swagger-ui-bundle.js",
        "/swagger-ui/swagger-ui-standalone-preset.js",
        "/swagger-ui/swagger-initializer.js"
      })
  void whatIsOpenAnswersWithoutATokenAndWithABadOne(String path) {
    assertThat(tarebook.anonymous().get(path).status()).isEqualTo(200);
    assertThat(new Client(tarebook.base(), "nonsense").get(path).status()).isEqualTo(200);
  }

  @Test
  void thePageOfTheDocumentIsReachedFromItsShortAddress() {
    Answer answer = tarebook.anonymous().get("/api");

    assertThat(answer.status()).isEqualTo(302);
    assertThat(answer.header("Location")).isEqualTo("/swagger-ui/index.html");
    assertThat(tarebook.anonymous().get("/openapi/swagger-config").at("/url").asString())
        .isEqualTo("/openapi");
    assertThat(tarebook.anonymous().get("/swagger-ui/swagger-initializer.js").text())
        .doesNotContain("http://", "https://");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"/", "/nonsense", "/api/v1/nonsense", "/actuator", "/actuator/metrics", "/error"})
  void whatIsNotOpenIsRefusedWithoutAToken(String path) {
    refused(tarebook.anonymous().get(path), new Row("GET", path, Set.of()), 401, "no-token");
  }

  @ParameterizedTest
  @ValueSource(strings = {"/nonsense", "/api/v1/nonsense", "/api/v2/lines", "/swagger-ui/none.js"})
  void whatIsNowhereIsNotFoundForAnyToken(String path) {
    refused(
        clients.get(SYSTEM_READING).get(path), new Row("GET", path, Set.of()), 404, "not-found");
  }

  @Test
  void aMethodThatAnAddressDoesNotAnswerIsToldSo() {
    Answer answer = ask(clients.get(QUALITY), "DELETE", "/api/v1/lines/L-1");

    refused(answer, new Row("DELETE", "lines/L-1", Set.of()), 405, "method-not-allowed");
    assertThat(answer.header("Allow")).contains("GET").contains("PUT");
  }

  @Test
  void whatIsAnsweredButStandsInNoRowIsDeniedToEverybody() {
    for (Client client : clients.values()) {
      refused(client.get("/error"), new Row("GET", "/error", Set.of()), 403, "not-allowed");
    }
  }

  @Test
  void theServiceItselfIsShownToAdministratorsOnly() {
    assertThat(clients.get(ADMINISTRATOR).get("/actuator/metrics").status()).isEqualTo(200);
    for (Holder holder : EnumSet.complementOf(EnumSet.of(ADMINISTRATOR))) {
      refused(
          clients.get(holder).get("/actuator/metrics"),
          new Row("GET", "/actuator/metrics", Set.of()),
          403,
          "not-allowed");
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"/api/v1//lines", "/api/v1/lines;a=b", "/api/v1/lines%2Fx", "/api/v1/%5Cx"})
  void anAddressWrittenToSlipThroughIsRefused(String path) {
    refused(
        clients.get(ADMINISTRATOR).get(path),
        new Row("GET", path, Set.of()),
        400,
        "invalid-request");
  }

  @Test
  void anotherWayToWriteAnAddressOpensNothing() {
    for (String path : List.of("/api/v1/%74okens", "/api/v1/tokens/", "/api/v1/tokens.json")) {
      assertThat(clients.get(QUALITY).get(path).status()).as(path).isIn(403, 404);
    }
  }

  @Test
  void answersKeepNoSessionAndForbidFramesSniffingAndStoring() {
    Answer answer = clients.get(ADMINISTRATOR).get("/api/v1/lines");

    assertThat(answer.status()).isEqualTo(200);
    assertThat(answer.header("Set-Cookie")).isEmpty();
    assertThat(answer.header("X-Content-Type-Options")).isEqualTo("nosniff");
    assertThat(answer.header("X-Frame-Options")).isEqualTo("DENY");
    assertThat(answer.header("Cache-Control")).contains("no-store");
    assertThat(answer.header("Content-Security-Policy"))
        .contains("default-src 'self'", "frame-ancestors 'none'");
  }

  private static Answer ask(Client client, String method, String path) {
    return method.equals("POST") || method.equals("PUT")
        ? client.send(method, path, "application/json", "{}")
        : client.send(method, path, BodyPublishers.noBody());
  }

  private static void refused(Answer answer, Row row, int status, String problem) {
    assertThat(answer.status()).as("%s: %s", row, answer.text()).isEqualTo(status);
    assertThat(answer.header("Content-Type")).as("%s", row).startsWith("application/problem+json");
    assertThat(answer.header("WWW-Authenticate")).isEqualTo(status == 401 ? "Bearer" : "");
    if (!row.method().equals("HEAD")) {
      assertThat(answer.problem()).as("%s", row).isEqualTo(problem);
      assertThat(answer.at("/status").asInt()).isEqualTo(status);
      assertThat(answer.at("/title").asString()).isNotBlank();
      assertThat(answer.at("/detail").asString()).isNotBlank();
    }
  }
}
