package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneId;
import java.util.EnumMap;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class RejectRatesWireTests {

  private static final Instant START = Instant.parse("2027-01-06T10:00:00Z");
  private static final Instant FROM = START.minusSeconds(7200);
  private static final Instant BEFORE = START.plusSeconds(20 * 86_400);

  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);

  private final Works works;

  RejectRatesWireTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  private Answer ask(Instant from, Instant before, String more) {
    return works
        .tarebook()
        .reader()
        .get(
            "/api/v1/reject-rates?measuredFrom=%s&measuredBefore=%s%s"
                .formatted(from, before, more));
  }

  @Test
  void answerSaysWhatWasAskedAndHowItIsCounted() {
    Answer answer =
        ask(FROM.minusSeconds(86_400), FROM, "&groupBy=SHIFT,LINE&bucket=WEEK").expect(200);
    assertThat(answer.at("/measuredFrom").asString())
        .isEqualTo(FROM.minusSeconds(86_400).toString());
    assertThat(answer.at("/measuredBefore").asString()).isEqualTo(FROM.toString());
    assertThat(answer.at("/zone").asString()).isEqualTo("Europe/Berlin");
    assertThat(answer.at("/groupBy").toString()).isEqualTo("[\"LINE\",\"SHIFT\"]");
    assertThat(answer.at("/bucket").asString()).isEqualTo("WEEK");
    assertThat(answer.at("/confidence").asDouble()).isEqualTo(0.95);
    assertThat(answer.at("/definitions").toString()).contains("conditional", "shares need not add");
    assertThat(answer.at("/rows").size()).isZero();
    assertThat(answer.at("/total/finalRate").toString())
        .isEqualTo("{\"notComputed\":\"NOTHING_JUDGED\"}");
  }

  @Test
  void bucketsTellWhetherTheWindowHoldsThemWhole() {
    works.record(new Draft("W1", START).value("A-MASS", "15"));
    works.record(new Draft("W2", START.plusSeconds(2 * 86_400)).value("A-MASS", "15"));
    JsonNode days = ask(FROM, BEFORE, "&bucket=DAY").expect(200).at("/rows");
    assertThat(days.at("/0/bucket/whole").asBoolean()).isFalse();
    assertThat(days.at("/1/bucket/whole").asBoolean()).isTrue();
    assertThat(days.at("/2/bucket/from").asString())
        .isEqualTo(
            START
                .plusSeconds(2 * 86_400)
                .atZone(ZoneId.of("Europe/Berlin"))
                .withHour(6)
                .toInstant()
                .toString());
  }

  @Test
  void documentTellsEveryParameterAndTheRefusalOfUnknownCodes() {
    JsonNode operation =
        works
            .tarebook()
            .anonymous()
            .get("/openapi")
            .expect(200)
            .json()
            .at("/paths/~1api~1v1~1reject-rates/get");
    assertThat(operation.at("/parameters").size()).isEqualTo(15);
    operation
        .at("/parameters")
        .forEach(
            parameter -> {
              assertThat(parameter.at("/description").asString()).isNotBlank();
              assertThat(parameter.at("/example").isMissingNode()).isFalse();
            });
    assertThat(operation.at("/responses/422/$ref").asString()).endsWith("/Problem422");
    assertThat(operation.at("/responses/200/content").toString()).contains("RejectRates");
  }
}
