package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest.BodyPublishers;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.Contract;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What the document says of roles, held against whom the service refuses. */
@OnBothDatabases
class DocumentedRolesTests {

  private final RunningTarebook tarebook;
  private final Map<Role, Client> holders = new EnumMap<>(Role.class);
  private final JsonNode document;

  DocumentedRolesTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    holders.put(Role.STATION, tarebook.system(Codes.fresh("gateway"), "STATION"));
    holders.put(Role.READER, tarebook.reader());
    holders.put(Role.QUALITY, tarebook.quality());
    holders.put(Role.ADMIN, tarebook.admin());
    this.document = tarebook.anonymous().get("/openapi").json();
  }

  /** An operation: its method, its address with something for each part, and what is said of it. */
  private record Operation(String method, String address, JsonNode said) {

    Set<Role> roles() {
      Set<Role> roles = EnumSet.noneOf(Role.class);
      said.get("security")
          .forEach(each -> roles.add(Role.valueOf(each.get("token").get(0).asString())));
      return roles;
    }

    boolean needsAPerson() {
      return said.get("description").asString().contains("a person's own token");
    }
  }

  private Map<String, Operation> operations() {
    Map<String, Operation> operations = new TreeMap<>();
    Contract.operations(document)
        .forEach(
            (place, said) -> {
              String[] parts = place.split(" ");
              String address =
                  parts[1].replaceAll("\\{(code|label)\\}", "X-1").replaceAll("\\{\\w+\\}", "1");
              operations.put(
                  place, new Operation(parts[0].toUpperCase(Locale.ROOT), address, said));
            });
    return operations;
  }

  @Test
  void eachOperationLetsInTheRolesItNamesAndNoOther() {
    operations()
        .forEach(
            (place, operation) -> {
              for (Role role : Role.values()) {
                Answer answer = ask(holders.get(role), operation);
                assertThat(answer.status() != 403)
                    .as("%s as %s: %d", place, role, answer.status())
                    .isEqualTo(operation.roles().contains(role));
              }
              assertThat(ask(tarebook.anonymous(), operation).status()).as(place).isEqualTo(401);
            });
  }

  @Test
  void whatNeedsAPersonIsRefusedToASystemWithTheRole() {
    Client robot = tarebook.system(Codes.fresh("robot"), "QUALITY");
    operations()
        .forEach(
            (place, operation) -> {
              if (operation.roles().contains(Role.QUALITY)) {
                assertThat(ask(robot, operation).status() == 403)
                    .as(place)
                    .isEqualTo(operation.needsAPerson());
              }
            });
  }

  /** Without a body or with an empty one: nothing is written. */
  private static Answer ask(Client client, Operation operation) {
    return operation.method().equals("GET")
        ? client.send("GET", operation.address() + "?nonsense=1", BodyPublishers.noBody())
        : client.send(
            operation.method(),
            operation.address(),
            BodyPublishers.ofString("{"),
            "Content-Type",
            "application/json");
  }
}
