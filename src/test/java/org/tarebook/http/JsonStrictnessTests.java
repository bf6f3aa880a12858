package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class JsonStrictnessTests {

  private final Bodies bodies = Sample.bodies();

  @Test
  void readsWhatIsRight() {
    Sample sample =
        bodies.json(
            """
            {"code": "T-1", "mass": 4.3850, "measuredAt": "2026-03-29T02:59:59.25+02:00",
             "count": 3, "special": true, "side": "LEFT", "day": "2026-03-29",
             "sides": ["LEFT", "RIGHT"], "parts": [{"mass": 1e2}]}
            """,
            Sample.class);
    assertThat(sample)
        .isEqualTo(
            new Sample(
                "T-1",
                new BigDecimal("4.3850"),
                Instant.parse("2026-03-29T00:59:59.25Z"),
                3,
                true,
                Sample.Side.LEFT,
                LocalDate.of(2026, 3, 29),
                Set.of(Sample.Side.LEFT, Sample.Side.RIGHT),
                List.of(new Sample.Part(new BigDecimal("100")))));
  }

  @ParameterizedTest
  @ValueSource(strings = {"0.1", "4.385", "123456789.123456789", "-0.000000001", "0", "12.50"})
  void decimalsKeepEveryDigit(String number) {
    Sample sample = bodies.json("{\"code\":\"A\",\"mass\":" + number + "}", Sample.class);
    assertThat(sample.mass().toPlainString()).isEqualTo(number);
    Sample text = bodies.json("{\"code\":\"A\",\"mass\":\"" + number + "\"}", Sample.class);
    assertThat(text).isEqualTo(sample);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          /mass       | {"code":"A","mass":"4,385"}     | '4,385' has a comma; write a decimal point and no thousands sign: '4.385'
          /mass       | {"code":"A","mass":""}          | the number is blank; send a decimal such as 12.5
          /mass       | {"code":"A","mass":true}        | must be a number, with a decimal point
          /mass       | {"code":"A","mass":{}}          | must be a number, with a decimal point
          /mass       | {"code":"A","mass":1e400}       | '1e400' is out of bounds; write the digits out, with at most 9 before and 9 after the point
          /mass       | {"code":"A","mass":1E-999999999}| '1E-999999999' is out of bounds; write the digits out, with at most 9 before and 9 after the point
          /mass       | {"code":"A","mass":123456789012345678901234567890} | '123456789012345678901234567890' is out of bounds; a value lies between -1000000000 and 1000000000, use a larger unit
          /mass       | {"code":"A","mass":0.12345678901234567890123456789} | '0.12345678901234567890123456789' has more than 9 decimals; send at most 9, as the instrument shows them
          /measuredAt | {"code":"A","measuredAt":"2026-03-29T00:59:59"} | must be a time with its offset, for example 2026-03-29T00:59:59.25Z or 2026-03-29T02:59:59+02:00
          /measuredAt | {"code":"A","measuredAt":1774745999} | must be a time with its offset, for example 2026-03-29T00:59:59.25Z or 2026-03-29T02:59:59+02:00
          /code       | {"code":17}                     | must be text in quotes
          /code       | {"code":null,"mass":1}          | is needed
          /code       | {"code":"two words"}            | must be a code of 1 to 40 letters, digits, dots, dashes or underscores, starting with a letter or digit
          /count      | {"code":"A","count":"3"}        | must be a whole number without quotes
          /count      | {"code":"A","count":3.0}        | must be a whole number without quotes
          /count      | {"code":"A","count":9999999999} | is a number too large to be counted here
          /special    | {"code":"A","special":"true"}   | must be true or false without quotes
          /special    | {"code":"A","special":1}        | must be true or false without quotes
          /side       | {"code":"A","side":"MIDDLE"}    | 'MIDDLE' is none of LEFT, RIGHT
          /side       | {"code":"A","side":0}           | '0' is none of LEFT, RIGHT
          /sides/1    | {"code":"A","sides":["LEFT","M"]} | 'M' is none of LEFT, RIGHT
          /sides      | {"code":"A","sides":"LEFT"}     | must be a list in square brackets
          /day        | {"code":"A","day":"2026-02-29"} | must be a date, for example 2026-03-29
          /day        | {"code":"A","day":"-999999999-01-01"} | must lie between the years 1970 and 2199, was -999999999-01-01
          /day        | {"code":"A","day":[2026,3,29]}  | must be a date, for example 2026-03-29
          /measuredAt | {"code":"A","measuredAt":"2026-03-29T00:59:59.0000001Z"} | must have at most six decimals of a second, was 2026-03-29T00:59:59.0000001Z
          /side       | {"code":"A","side":1.5}         | must be one of LEFT, RIGHT
          /sides/0    | {"code":"A","sides":[null]}     | is null; leave it out
          /parts      | {"code":"A","parts":{}}         | must be a list in square brackets
          /parts/0    | {"code":"A","parts":[7]}        | must be an object in braces
          /parts/1/mass | {"code":"A","parts":[{"mass":1},{}]} | is needed
          /parts      | {"code":"A","parts":[{"mass":1},{"mass":1},{"mass":1},{"mass":1}]} | must have 0 to 3 entries
          /mas        | {"code":"A","mas":4}            | is not a member here; known are code, count, day, mass, measuredAt, parts, side, sides, special
          /parts/0/x  | {"code":"A","parts":[{"x":4}]}  | is not a member here; known are mass
          """)
  void aMemberThatIsWrongIsToldWithItsPlace(String pointer, String json, String detail) {
    Problem problem = refused(json);
    assertThat(problem.type()).isEqualTo(ProblemType.INVALID_REQUEST);
    assertThat(problem.faults()).hasSize(1);
    assertThat(problem.faults().get(0)).isEqualTo(Problem.Fault.at(pointer, detail));
  }

  @Test
  void aDecimalCommaIsToldAsOne() {
    assertThatThrownBy(() -> bodies.json("{\"code\":\"A\",\"mass\":8,40}", Sample.class))
        .isInstanceOf(Problem.class)
        .hasMessageContaining("a number has a comma in it; write it with a decimal point, 8.40");
    assertThatThrownBy(() -> bodies.json("{\"code\":\"A\",mass:8}", Sample.class))
        .isInstanceOf(Problem.class)
        .hasMessageContaining("the name of a member must stand in double quotes");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " ",
        "{\"code\":\"A\"",
        "{\"code\":\"A",
        "{\"code\":\"A\",",
        "{\"code\":\"A\"} {\"code\":\"B\"}",
        "{\"code\":\"A\"}x",
        "{\"code\":\"A\",\"code\":\"B\"}",
        "{\"code\":\"A\",\"mass\":NaN}",
        "{\"code\":\"A\",\"mass\":Infinity}",
        "{\"code\":\"A\",\"mass\":+1}",
        "{\"code\":\"A\",\"mass\":.5}",
        "{\"code\":\"A\",\"mass\":5.}",
        "{\"code\":\"A\",\"mass\":007}",
        "{\"code\":\"A\",\"mass\":0x1F}",
        "{'code':'A'}",
        "{code:\"A\"}",
        "{\"code\":\"A\",}",
        "{\"code\":\"A\" /* note */}",
        "{\"code\":\"A\tB\"}",
        "null",
        "[]",
        "[{\"code\":\"A\"}]",
        "\"A\"",
        "17",
        "true"
      })
  void whatIsNotOneJsonObjectIsRefused(String json) {
    Problem problem = refused(json);
    assertThat(problem.type()).isEqualTo(ProblemType.UNREADABLE_BODY);
    assertPlain(problem.detail());
  }

  @Test
  void theTwiceGivenMemberIsNamedWithItsPlace() {
    assertThat(refused("{\"code\":\"A\",\n \"mass\":1, \"mass\":2}").detail())
        .startsWith("Line 2, column ")
        .contains("\"mass\"");
  }

  @Test
  void deepNestingIsRefusedBeforeItCostsAnything() {
    Problem problem = refused("{\"code\":" + "[".repeat(50_000));
    assertPlain(problem.detail());
    assertThat(problem.type()).isIn(ProblemType.UNREADABLE_BODY, ProblemType.INVALID_REQUEST);
  }

  @Test
  void numbersAndTextsOfHostileLengthAreRefused() {
    assertPlain(refused("{\"code\":\"A\",\"mass\":" + "9".repeat(60_000) + "}").detail());
    assertPlain(refused("{\"code\":\"" + "A".repeat(200_000) + "\"}").detail());
    assertPlain(refused("{\"" + "A".repeat(60_000) + "\":1}").detail());
  }

  @Test
  void aNulCharacterIsRefused() {
    Problem problem = refused("{\"code\":\"A\\u0000\"}");
    assertThat(problem.faults())
        .containsExactly(
            Problem.Fault.at("/code", "holds a NUL character, which no record can keep"));
  }

  @Test
  void halfACharacterIsRefused() {
    for (String half : List.of("\\ud83d", "\\ude00", "\\ud83dx", "\\ude00\\ud83d")) {
      assertThat(refused("{\"code\":\"" + half + "\"}").faults())
          .containsExactly(
              Problem.Fault.at("/code", "holds half a character, which no record can keep"));
    }
    // A whole one is only no code.
    assertThat(refused("{\"code\":\"\\ud83d\\ude00\"}").detail()).doesNotContain("half");
  }

  @Test
  void everyFaultOfARequestIsTold() {
    Problem problem = refused("{\"code\":\"-\",\"parts\":[{},{}]}");
    assertThat(problem.faults())
        .extracting(Problem.Fault::pointer)
        .containsExactly("/code", "/parts/0/mass", "/parts/1/mass");
    assertThat(problem.detail()).isEqualTo("3 members are wrong; see errors.");
  }

  private Problem refused(String json) {
    Problem problem = catchThrowableOfType(Problem.class, () -> bodies.json(json, Sample.class));
    assertThat(problem).as(json.length() > 200 ? "long" : json).isNotNull();
    return problem;
  }

  /** Words for a person at a terminal: no class, no library, no screenful. */
  private static void assertPlain(String words) {
    assertThat(words)
        .isNotBlank()
        .hasSizeLessThan(400)
        .doesNotContain("org.tarebook", "java.", "jackson", "`", "StreamReadConstraints");
  }

  private record Texts(
      @jakarta.validation.constraints.Size(max = 80) String name,
      @jakarta.validation.constraints.Size(max = 500) String reason,
      List<String> signs) {}

  @ParameterizedTest
  @ValueSource(
      strings = {
        "\\u0007", "\\u001B", "\\u0085", "\\u202E", "\\u200F", "\\u2066", "\\u200B", "\\uFEFF",
        "\\u00AD", "\\u2028", "\\u2029"
      })
  void charactersThatCannotBeSeenOrTurnTextRoundAreRefusedInEveryText(String escape) {
    for (String body :
        List.of("{\"name\": \"a%sb\"}", "{\"reason\": \"a%sb\"}", "{\"signs\": [\"a%sb\"]}")) {
      assertThatThrownBy(() -> bodies.json(body.formatted(escape), Texts.class))
          .isInstanceOf(Problem.class)
          .hasMessageContaining("U+" + escape.substring(escape.length() - 4));
    }
  }

  @Test
  void onlyTextThatMayBeLongHasSeveralLines() {
    String lines = "{\"%s\": \"one\\r\\n\\ttwo\"}";

    assertThat(bodies.json(lines.formatted("reason"), Texts.class).reason())
        .isEqualTo("one\r\n\ttwo");
    assertThatThrownBy(() -> bodies.json(lines.formatted("name"), Texts.class))
        .hasMessageContaining("holds a line break; write it in one line");
    assertThat(
            bodies
                .json("{\"name\": \"\u0646\u0627\u0645\u0647\u200C\u0627\u06CC\"}", Texts.class)
                .name())
        .hasSize(7);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "together[0].value | /together/0/value",
        "unknown[].<iterable element> | /unknown",
        "unknown[] | /unknown",
        "steps[3].setPoints[0].unit | /steps/3/setPoints/0/unit",
        "fromCurves[1].<list element> | /fromCurves/1",
        "samples[2].values[IT-1].<map value> | /samples/2/values/IT-1",
        "samples[2].values[a/b~c.d] | /samples/2/values/a~1b~0c.d",
        "key | /key"
      })
  void aBeanPathIsWrittenAsAJsonPointer(String beanPath, String pointer) {
    assertThat(JsonFaults.pointer(beanPath)).isEqualTo(pointer);
  }
}
