package org.tarebook.openapi;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest.BodyPublishers;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What the document calls required is asked for: an empty body is refused with each of them. */
@OnBothDatabases
class RequiredMembersTests {

  private final RunningTarebook tarebook;

  RequiredMembersTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void everyRequiredMemberOfABodyIsAskedFor() {
    JsonNode document =
        tarebook.anonymous().send("GET", "/openapi", BodyPublishers.noBody()).expect(200).json();
    List<String> wrong = new ArrayList<>();
    int asked = 0;
    for (Map.Entry<String, JsonNode> path : document.get("paths").properties()) {
      for (String method : List.of("post", "put")) {
        JsonNode schema =
            path.getValue().path(method).at("/requestBody/content/application~1json/schema/$ref");
        if (!schema.isString()) {
          continue;
        }
        JsonNode required = document.at(schema.asString().substring(1)).path("required");
        if (required.isEmpty()) {
          continue;
        }
        asked++;
        Set<String> missing = new TreeSet<>();
        required.forEach(member -> missing.add("/" + member.asString()));
        String address = path.getKey().replaceAll("\\{[^}]*}", "1");
        Answer answer = refused(method, address);
        answer.at("/errors").forEach(fault -> missing.remove(fault.at("/pointer").asString()));
        if (answer.status() != 400 || !missing.isEmpty()) {
          wrong.add(method + " " + address + " " + answer.status() + " did not ask for " + missing);
        }
      }
    }
    assertThat(wrong).isEmpty();
    assertThat(asked).isGreaterThan(30);
  }

  private Answer refused(String method, String address) {
    Client client = address.contains("/tokens") ? tarebook.admin() : tarebook.quality();
    return client.send(
        method.toUpperCase(Locale.ROOT),
        address,
        BodyPublishers.ofString("{}"),
        "Content-Type",
        "application/json",
        "If-Match",
        "\"1\"");
  }
}
