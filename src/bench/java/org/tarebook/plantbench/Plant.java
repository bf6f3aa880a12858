package org.tarebook.plantbench;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.tarebook.fixtures.Client;

/**
 * A plant made over HTTP as its people would: one line and station for every 16 charts, each chart
 * with a characteristic and a specification in kg.
 *
 * @param token of the stations' gateway, which may post for all of them
 * @param reader of somebody who reads
 */
record Plant(Client engineer, String token, String reader, List<String> charts) {

  private static final int CHARTS_OF_A_LINE = 16;

  /** From posting to posting the station changes, as where each of many stations posts for itself. */
  private static final int STRIDE = 37;

  static Plant make(Service service, int charts, int chartsOfALine) {
    Client admin = new Client(service.base(), service.firstToken());
    Client engineer = new Client(service.base(), token(admin, "QUALITY", "PERSON"));
    String gateway = token(admin, "STATION", "SYSTEM");
    List<String> codes = new ArrayList<>();
    post(
        engineer,
        "shift-calendars",
        "{\"code\":\"THREE\",\"name\":\"Three shifts\",\"validFrom\":\"2020-01-01\",\"zone\":\"UTC\","
            + "\"shifts\":[{\"name\":\"early\",\"startsAt\":\"06:00:00\"},{\"name\":\"late\","
            + "\"startsAt\":\"14:00:00\"},{\"name\":\"night\",\"startsAt\":\"22:00:00\"}]}");
    post(
        engineer,
        "components",
        "{\"code\":\"TREAD\",\"name\":\"Tread\",\"kind\":\"TREAD_STRIP\"}");
    for (int i = 0; i < charts; i++) {
      String line = "L" + i / chartsOfALine;
      if (i % chartsOfALine == 0) {
        post(
            engineer,
            "lines",
            "{\"code\":\"%1$s\",\"name\":\"Tread\",\"kind\":\"TREAD_EXTRUSION\"}".formatted(line));
        post(
            engineer,
            "stations",
            "{\"code\":\"%1$s-W\",\"name\":\"Scale\",\"line\":\"%1$s\"}".formatted(line));
        post(
            engineer,
            "instruments",
            "{\"code\":\"%1$s-S\",\"name\":\"Scale\",\"station\":\"%1$s-W\",\"kind\":\"SCALE\",\"unit\":\"kg\"}"
                .formatted(line));
      }
      String code = "C" + i;
      post(
          engineer,
          "characteristics",
          "{\"code\":\"%s\",\"name\":\"Mass\",\"component\":\"TREAD\",\"kind\":\"MEASURED\",\"unit\":\"kg\"}"
              .formatted(code));
      post(
          engineer,
          "characteristics/" + code + "/specifications",
          "{\"validFrom\":\"2000-01-01T00:00:00Z\",\"lower\":4.300,\"upper\":4.500,\"unit\":\"kg\","
              + "\"comparison\":\"ABSOLUTE\",\"reason\":\"bench\"}");
      post(
          engineer,
          "control-plan",
          ("{\"code\":\"H%1$d\",\"name\":\"Mass\",\"characteristic\":\"%2$s\",\"line\":\"%3$s\","
                  + "\"method\":\"scale\",\"sampleSize\":5,\"frequency\":\"each\",\"kind\":\"XBAR_R\","
                  + "\"subgroupSize\":5,\"response\":\"Stop and look\"}")
              .formatted(i, code, line));
      codes.add("H" + i);
    }
    return new Plant(engineer, gateway, token(admin, "READER", "SYSTEM"), codes);
  }

  static Plant make(Service service, int charts) {
    return make(service, charts, CHARTS_OF_A_LINE);
  }

  private static String token(Client admin, String role, String kind) {
    return admin
        .post(
            "/api/v1/tokens",
            "{\"name\":\"bench %s\",\"kind\":\"%s\",\"role\":\"%s\"}".formatted(role, kind, role))
        .expect(201)
        .at("/text")
        .asString();
  }

  private static void post(Client client, String what, String json) {
    client.post("/api/v1/" + what, json).expect(201);
  }

  /** The posting of a number, of the charts in turn; the value is of a normal process. */
  String posting(String prefix, long number, Instant at) {
    int chart = (int) (number * STRIDE % charts.size());
    return ("{\"key\":\"%s%d\",\"station\":\"L%d-W\",\"characteristic\":\"C%d\",\"value\":%s,"
            + "\"unit\":\"kg\",\"measuredAt\":\"%s\"}")
        .formatted(
            prefix, number, chart / CHARTS_OF_A_LINE, chart, value(number), at);
  }

  /** A value with three decimals that a number alone decides. */
  static String value(long number) {
    long mixed = number * 0x9E3779B97F4A7C15L;
    mixed ^= mixed >>> 29;
    mixed *= 0xBF58476D1CE4E5B9L;
    long sum = 0;
    for (int i = 0; i < 6; i++) {
      sum += (mixed >>> (10 * i)) & 15;
    }
    return String.format(Locale.ROOT, "4.%03d", 355 + sum);
  }
}
