package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class SearchHttpTests {

  private final RunningTarebook tarebook;
  private final ShopFloor floor;

  SearchHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    for (int i = 0; i < 23; i++) {
      floor
          .post(
              floor.posting(
                  i % 5 == 0 ? 6.5 : 5.5,
                  "kg",
                  "2026-03-02T06:%02d:00Z".formatted(i / 2),
                  "die",
                  i % 2 == 0 ? "D7" : "D8",
                  "lot",
                  "L" + i % 3,
                  "operator",
                  "op-1",
                  "item",
                  i == 4 ? floor.station() + "-G" : null))
          .expect(201);
    }
  }

  @Test
  void pagesFollowEachOtherWithoutGapOrRepeat() {
    List<String> whole = ids(find("limit=1000"));
    assertThat(whole).hasSize(23);
    for (String order : new String[] {"", "&newestFirst=true"}) {
      List<String> paged = new ArrayList<>();
      String next = "/api/v1/readings?limit=4&station=" + floor.station() + order;
      while (next != null) {
        Answer page = tarebook.reader().get(next).expect(200);
        paged.addAll(ids(page));
        next = page.json().has("next") ? page.at("/next").asString() : null;
      }
      if (!order.isEmpty()) {
        Collections.reverse(paged);
      }
      assertThat(paged).isEqualTo(whole);
    }
  }

  @Test
  void theCursorIsThatOfTheNextAddress() {
    Answer page = find("limit=4");
    assertThat(page.at("/next").asString()).endsWith("&cursor=" + page.at("/cursor").asString());
    assertThat(ids(find("limit=4&cursor=" + page.at("/cursor").asString())))
        .isEqualTo(ids(find("limit=8")).subList(4, 8));
    assertThat(find("limit=1000").json().has("cursor")).isFalse();
  }

  @Test
  void aCursorContinuesItsOwnQuestionOnly() {
    String next = find("limit=4").at("/next").asString();
    String other = next.replace("limit=4", "limit=4&die=D7");
    assertThat(tarebook.reader().get(other).expect(400).problem()).isEqualTo("cursor-does-not-fit");
  }

  @Test
  void everyFilterNarrows() {
    assertThat(ids(find("die=D7"))).hasSize(12);
    assertThat(ids(find("result=FAIL"))).hasSize(5);
    assertThat(ids(find("result=FAIL&direction=ABOVE&die=D8"))).hasSize(2);
    assertThat(ids(find("lot=L1"))).hasSize(8);
    assertThat(ids(find("operator=op-2"))).isEmpty();
    assertThat(ids(find("item=" + floor.station() + "-G"))).hasSize(1);
    assertThat(ids(find("measuredFrom=2026-03-02T06:01:00Z&measuredBefore=2026-03-02T06:03:00Z")))
        .hasSize(4);
    assertThat(ids(find("component=" + floor.component() + "&line=" + floor.line()))).hasSize(23);
    assertThat(ids(find("characteristic=NO-SUCH"))).isEmpty();
    assertThat(ids(find("recordedBefore=2020-01-01T00:00:00Z"))).isEmpty();
    assertThat(ids(find("phase=TRIAL"))).isEmpty();
    assertThat(ids(find("instrument=" + floor.scale()))).hasSize(23);
  }

  @Test
  void aFilterByStandingListsWhatStands() {
    String censored = posted("censored", "ABOVE");
    String alsoTrial = posted("censored", "ABOVE", "phase", "TRIAL");
    String trial = posted("phase", "TRIAL");
    String voided = posted("censored", "ABOVE");
    String replaced = posted("censored", "ABOVE");
    amend(voided, json("key", Codes.fresh("a"), "kind", "VOID", "reason", "r"));
    amend(
        replaced,
        json(
            "key",
            Codes.fresh("a"),
            "kind",
            "REPLACE",
            "reason",
            "r",
            "replacement",
            Map.of("die", "D9")));
    for (String more : List.of("", "&lot=L9")) {
      assertThat(ids(find("standing=CENSORED" + more)))
          .hasSize(3) // the replacement is censored too
          .contains(censored, alsoTrial)
          .doesNotContain(voided, replaced);
      assertThat(ids(find("standing=NOT_RUNNING" + more))).containsExactly(trial);
      assertThat(ids(find("standing=VOIDED" + more))).containsExactly(voided);
      assertThat(ids(find("standing=REPLACED" + more))).containsExactly(replaced);
      assertThat(ids(find("standing=CENSORED&includeVoided=true" + more)))
          .hasSize(5)
          .contains(voided, replaced);
      for (JsonNode each : find("standing=CENSORED" + more).at("/items")) {
        assertThat(each.at("/standing").asString()).isEqualTo("CENSORED");
      }
    }
    String query = "/api/v1/readings?station=" + floor.station() + "&standing=CENSORED";
    assertThat(tarebook.reader().get(query, "Accept", "text/csv").expect(200).text().lines())
        .hasSize(4);
  }

  @Test
  void theReadingsOfASampleAreFound() {
    String name = Codes.fresh("S");
    String first = posted("sample", name);
    String second = posted("sample", name, "phase", "TRIAL");
    posted("sample", name + "x");
    assertThat(ids(find("sample=" + name))).containsExactly(first, second);
    assertThat(ids(find("sample=" + name + "&newestFirst=true"))).containsExactly(second, first);
    assertThat(ids(find("sample=" + name + "&standing=NOT_RUNNING"))).containsExactly(second);
    assertThat(ids(find("sample=" + name + "&limit=1"))).containsExactly(first);
  }

  private String posted(Object... more) {
    List<Object> members = new ArrayList<>(List.of(more));
    members.addAll(List.of("lot", "L9"));
    return floor
        .post(floor.posting(5.5, "kg", "2026-03-02T08:00:00Z", members.toArray()))
        .expect(201)
        .at("/id")
        .asString();
  }

  private void amend(String id, String request) {
    tarebook.quality().post("/api/v1/readings/" + id + "/amendments", request).expect(201);
  }

  @Test
  void streamsHoldTheSameReadingsAsPages() {
    List<JsonNode> pages = new ArrayList<>();
    find("limit=1000").at("/items").forEach(pages::add);
    String query = "/api/v1/readings?station=" + floor.station();
    Answer stream = tarebook.reader().get(query, "Accept", "application/x-ndjson").expect(200);
    List<JsonNode> streamed =
        stream.text().lines().map(line -> new Answer(200, stream.headers(), line).json()).toList();
    assertThat(streamed).isEqualTo(pages);
    List<String> csv =
        tarebook.reader().get(query, "Accept", "text/csv").expect(200).text().lines().toList();
    assertThat(csv).hasSize(24);
    assertThat(csv.get(0)).startsWith("id,key,station,line,instrument,characteristic");
    assertThat(csv.get(1)).startsWith(pages.get(0).get("id").asString() + ",");
  }

  private Answer find(String more) {
    return tarebook
        .reader()
        .get("/api/v1/readings?station=" + floor.station() + "&" + more)
        .expect(200);
  }

  private static List<String> ids(Answer answer) {
    List<String> ids = new ArrayList<>();
    answer.at("/items").forEach(item -> ids.add(item.get("id").asString()));
    return ids;
  }
}
