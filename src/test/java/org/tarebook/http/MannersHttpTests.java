package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.GZIPInputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

/** What clients of HTTP expect: conditions, links, keys in a header, tables, compression. */
@OnBothDatabases
class MannersHttpTests {

  private static final String AT = "2026-03-29T00:59:59Z";

  private final RunningTarebook tarebook;
  private final Client quality;

  MannersHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.quality = tarebook.quality();
  }

  /** RFC 9110, sections 8.8.3 and 13.1.1: a list of tags, or any; weak tags match nothing. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "\"0\" | 200",
        "* | 200",
        "\"7\", \"0\" | 200",
        "\"7\",\"0\",W/\"3\" | 200",
        "\"7\" | 412",
        "W/\"0\" | 412",
        "\"7\",,\"0\" | 200",
        ", \"0\" | 200",
        "\"0\", | 200",
        ", | 400",
        "\"a,0\" | 412",
        "\"0,1\" | 412",
        "0 | 400",
        "\"0 | 400",
        "\"0\"x | 400",
        "\"0\" \"1\" | 400",
      })
  void aChangeIsMadeWhereItsConditionIsMet(String condition, int status) {
    String code = Codes.fresh("MA");
    quality
        .post("/api/v1/lines", ShopFloor.json("code", code, "name", "x", "kind", "MIXING"))
        .expect(201);
    Answer answer =
        quality.put(
            "/api/v1/lines/" + code,
            "{\"name\": \"changed\", \"kind\": \"MIXING\", \"retired\": false}",
            "If-Match",
            condition);
    assertThat(answer.status()).isEqualTo(status);
    String name = quality.get("/api/v1/lines/" + code).at("/name").asString();
    assertThat(name).isEqualTo(status == 200 ? "changed" : "x");
  }

  @Test
  void aLongListOfTagsIsRead() {
    String code = Codes.fresh("MA");
    quality
        .post("/api/v1/lines", ShopFloor.json("code", code, "name", "x", "kind", "MIXING"))
        .expect(201);
    StringBuilder tags = new StringBuilder("\"7\"");
    for (int i = 1; i < 1000; i++) {
      tags.append(",\"").append(i).append('"');
    }
    String change = "{\"name\": \"changed\", \"kind\": \"MIXING\", \"retired\": false}";
    quality.put("/api/v1/lines/" + code, change, "If-Match", tags.toString()).expect(412);
    quality.put("/api/v1/lines/" + code, change, "If-Match", tags + ",\"0\"").expect(200);
  }

  @Test
  void aListNamesItsNextPageInAHeaderToo() {
    for (int i = 0; i < 2; i++) {
      quality
          .post(
              "/api/v1/lines",
              ShopFloor.json("code", Codes.fresh("MA"), "name", "x", "kind", "MIXING"))
          .expect(201);
    }
    Answer first = quality.get("/api/v1/lines?limit=1").expect(200);
    assertThat(first.header("Link"))
        .isEqualTo("<" + first.at("/next").asString() + ">; rel=\"next\"");
    assertThat(quality.get("/api/v1/lines?limit=1000").headers().firstValue("Link")).isEmpty();

    Answer table = quality.get("/api/v1/lines?limit=1", "Accept", "text/csv").expect(200);
    assertThat(table.header("Link")).isEqualTo(first.header("Link"));
  }

  @Test
  void everyListIsAnsweredAsATable() {
    List<String> lists = new ArrayList<>();
    JsonNode document = quality.get("/openapi").json();
    document
        .get("paths")
        .properties()
        .forEach(
            path -> {
              JsonNode answer = path.getValue().at("/get/responses/200/content/text~1csv");
              boolean page =
                  path.getValue()
                      .at("/get/responses/200/content/application~1json/schema/$ref")
                      .asString("")
                      .endsWith("List");
              if (page) {
                assertThat(answer.isMissingNode()).as(path.getKey()).isFalse();
                if (!path.getKey().contains("{")) {
                  lists.add(path.getKey());
                }
              }
            });
    assertThat(lists).hasSizeGreaterThan(15);
    for (String list : lists) {
      if (list.equals("/api/v1/tokens")) {
        continue;
      }
      Answer asked = quality.get(list);
      if (asked.status() != 200) {
        continue; // asks for parameters
      }
      Answer table = quality.get(list, "Accept", "text/csv").expect(200);
      assertThat(table.header("Content-Type")).as(list).isEqualTo("text/csv;charset=UTF-8");
      assertThat(table.text().split("\r\n", 2)[0]).as(list).matches("[A-Za-z.]+(,[A-Za-z.]+)+");
    }
  }

  @Test
  void aTableShowsWhatTheListShowsAndStartsNoFormula() {
    String code = Codes.fresh("MA");
    String name = "=HYPERLINK(\"x\"), \"Tread\"";
    quality
        .post("/api/v1/lines", ShopFloor.json("code", code, "name", name, "kind", "MIXING"))
        .expect(201);
    Answer line = quality.get("/api/v1/lines/" + code).expect(200);
    String table = quality.get("/api/v1/lines?limit=1000", "Accept", "text/csv").text();
    List<String> header = CsvForm.fields(table.split("\r\n")[0], ',');
    List<String> row =
        CsvForm.fields(table.lines().filter(each -> each.startsWith(code)).findFirst().get(), ',');
    assertThat(row.get(header.indexOf("name"))).isEqualTo("'" + name);
    assertThat(row.get(header.indexOf("kind"))).isEqualTo("MIXING");
    assertThat(header.size()).isEqualTo(row.size()).isGreaterThanOrEqualTo(line.json().size());
  }

  @Test
  void anExportOfReadingsStartsNoFormula() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    tarebook
        .station(floor.station())
        .post("/api/v1/readings", floor.posting(5.6, "kg", AT, "lot", "=1+2"))
        .expect(201);
    String[] rows =
        quality
            .get("/api/v1/readings?station=" + floor.station(), "Accept", "text/csv")
            .text()
            .split("\r\n");
    assertThat(CsvForm.fields(rows[1], ',').get(CsvForm.fields(rows[0], ',').indexOf("lot")))
        .isEqualTo("'=1+2");
    assertThat(CsvForm.safe("-0.25")).isEqualTo("-0.25");
    for (String text : List.of("  =1", "\u00a0=1", "\uff1d1", "\t1", "@x", "+1")) {
      assertThat(CsvForm.safe(text)).isEqualTo("'" + text);
    }
    assertThat(CsvForm.safe("Tread = 1")).isEqualTo("Tread = 1");
    assertThat(CsvForm.safe("-0.25+1")).isEqualTo("'-0.25+1");
  }

  @Test
  void whoAcceptsAnythingGetsJson() {
    for (String accept : List.of("*/*", "text/html,*/*;q=0.8", "application/json, text/csv")) {
      assertThat(quality.get("/api/v1/lines", "Accept", accept).header("Content-Type"))
          .startsWith("application/json");
    }
  }

  @Test
  void theKeyOfAFactMayStandInAHeader() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Client station = tarebook.station(floor.station());
    String whole = floor.posting(5.6, "kg", AT);
    String key = whole.replaceFirst(".*\"key\":\\s*\"([^\"]+)\".*", "$1");
    String without = whole.replaceFirst("\"key\":\\s*\"[^\"]+\",\\s*", "");
    assertThat(without).isNotEqualTo(whole);

    Answer made = post(station, without, "Idempotency-Key", '"' + key + '"').expect(201);
    assertThat(made.at("/key").asString()).isEqualTo(key);
    assertThat(post(station, without, "Idempotency-Key", key).expect(200).at("/id"))
        .isEqualTo(made.at("/id"));
    assertThat(post(station, whole, "Idempotency-Key", key).expect(200).at("/id"))
        .isEqualTo(made.at("/id"));
    assertThat(post(station, whole).expect(200).at("/id")).isEqualTo(made.at("/id"));

    Answer another = post(station, whole, "Idempotency-Key", key + "x").expect(400);
    assertThat(another.at("/errors/0/pointer").asString()).isEqualTo("/key");
    assertThat(another.at("/errors/0/detail").asString()).contains("Idempotency-Key");
    for (String form : List.of("\"a", "a\"", "\"\"", "\"a\";p=1", "\"a\",\"b\"")) {
      assertThat(post(station, without, "Idempotency-Key", form).expect(400).text())
          .as(form)
          .contains("in quotes or without any");
    }
    assertThat(
            post(station, without, "Idempotency-Key", key, "Idempotency-Key", key + "x")
                .expect(400)
                .text())
        .contains("must be sent once");
    assertThat(post(station, without, "Idempotency-Key", "two words").expect(400).text())
        .contains("visible ASCII");
    assertThat(post(station, without).expect(400).at("/errors/0/pointer").asString())
        .isEqualTo("/key");
  }

  @Test
  void aKeyInTheHeaderOfAStreamIsOfNoLine() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    String line = floor.posting(5.6, "kg", AT);
    Answer answer =
        tarebook
            .station(floor.station())
            .send(
                "POST",
                "/api/v1/readings/bulk",
                BodyPublishers.ofString(
                    line + "\n" + line.replaceFirst("\"key\":[^,]+,", "") + "\n"),
                "Content-Type",
                "application/x-ndjson",
                "Idempotency-Key",
                "of-the-stream")
            .expect(200);
    assertThat(answer.text()).contains("\"recorded\":1", "\"refused\":1", "/key");
  }

  @Test
  void aValueSentAsTextIsTheSameFactAsTheNumber() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Client station = tarebook.station(floor.station());
    String number = floor.posting(5.6, "kg", AT);
    String text = number.replaceFirst("5\\.6", "\"5.6\"");
    assertThat(text).isNotEqualTo(number);
    Answer made = post(station, text).expect(201);
    assertThat(made.text()).contains("\"value\":5.6,");
    assertThat(post(station, number).expect(200).at("/id")).isEqualTo(made.at("/id"));
  }

  @Test
  void anAnswerIsCompressedForWhoAsksForIt() throws Exception {
    HttpResponse<byte[]> packed =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create(tarebook.base() + "/openapi"))
                    .header("Accept-Encoding", "gzip")
                    .build(),
                HttpResponse.BodyHandlers.ofByteArray());
    assertThat(packed.headers().firstValue("Content-Encoding")).hasValue("gzip");
    String text =
        new String(
            new GZIPInputStream(new ByteArrayInputStream(packed.body())).readAllBytes(),
            StandardCharsets.UTF_8);
    assertThat(text).isEqualTo(tarebook.anonymous().get("/openapi").text());
    assertThat(packed.body().length).isLessThan(text.length() / 4);
  }

  private static Answer post(Client station, String body, String... headers) {
    List<String> all = new ArrayList<>(List.of("Content-Type", "application/json"));
    all.addAll(List.of(headers));
    return station.send(
        "POST", "/api/v1/readings", BodyPublishers.ofString(body), all.toArray(String[]::new));
  }
}
