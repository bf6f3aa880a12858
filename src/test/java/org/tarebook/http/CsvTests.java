package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import jakarta.validation.constraints.Size;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CsvTests {

  private final Bodies bodies = Sample.bodies();
  private final List<Sample> stored = new ArrayList<>();

  @Test
  void columnsStandInAnyOrderAndEmptyFieldsAreAbsent() {
    assertThat(
            rows(
                """
                side,mass,code,measuredAt,count,special,day,sides
                LEFT,12.50,A,2026-03-29T02:59:59+02:00,3,true,2026-03-29,RIGHT LEFT
                ,,B,,,,,
                """))
        .isEqualTo(2);
    assertThat(stored.get(0))
        .isEqualTo(
            new Sample(
                "A",
                new BigDecimal("12.50"),
                Instant.parse("2026-03-29T00:59:59Z"),
                3,
                true,
                Sample.Side.LEFT,
                LocalDate.of(2026, 3, 29),
                Set.of(Sample.Side.LEFT, Sample.Side.RIGHT),
                null));
    assertThat(stored.get(1))
        .isEqualTo(new Sample("B", null, null, null, null, null, null, null, null));
  }

  @Test
  void quotedFieldsHoldCommasAndQuotes() {
    record Note(@Size(max = 500) String text, @Size(max = 500) String more) {}
    CsvForm<Note> form = bodies.csvForm("\"text\",more", Note.class);
    assertThat(form.read("\"a, \"\"b\"\"\",c")).isEqualTo(new Note("a, \"b\"", "c"));
    assertThat(form.read("\"\",\"c\"")).isEqualTo(new Note(null, "c"));
    assertThat(form.read(" a , b ")).isEqualTo(new Note(" a ", " b "));
  }

  @Test
  void whatIsWrittenIsReadBack() {
    record Note(@Size(max = 500) String text, @Size(max = 500) String more) {}
    CsvForm<Note> form = bodies.csvForm("text,more", Note.class);
    String alphabet = "a\",; é\t'🛞\\";
    Random random = new Random(7);
    for (int round = 0; round < 1000; round++) {
      List<String> fields = List.of(text(random, alphabet), text(random, alphabet));
      assertThat(form.read(CsvForm.line(fields))).isEqualTo(new Note(fields.get(0), fields.get(1)));
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          A            | has 1 fields where the header names 2
          A,1,2        | has 3 fields where the header names 2
          A,1,         | has 3 fields where the header names 2
          "A,1         | has a quoted field without an end, column 1
          "A"x,1       | has something between a closing quote and the comma, column 4
          A"B,1        | has a quote inside a field without quotes, column 1
          A,4,385      | has 3 fields where the header names 2
          A,"4,385"    | '4,385' has a comma; write a decimal point and no thousands sign: '4.385'
          A,NaN        | 'NaN' is not a decimal number; write it like 12.5 or -0.125: digits with a point, no sign but a leading minus, no leading zeros, no blanks, no unit
          two words,1  | must be a code of 1 to 40 letters, digits, dots, dashes or underscores, starting with a letter or digit
          ,1           | is needed
          """)
  void aRowThatIsWrongIsToldWithItsLine(String row, String detail) {
    Problem problem = refused("code,mass\nGOOD,1\n" + row + "\n");
    assertThat(problem.type()).isEqualTo(ProblemType.INVALID_REQUEST);
    assertThat(problem.detail()).isEqualTo("1 faults in 2 rows; nothing was stored.");
    assertThat(problem.faults()).hasSize(1);
    assertThat(problem.faults().get(0).line()).isEqualTo(3);
    assertThat(problem.faults().get(0).detail()).isEqualTo(detail);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          code,count   | A,2.5     | must be a whole number, was '2.5'
          code,count   | A,1 000   | must be a whole number, was '1 000'
          code,count   | A,9999999999 | is a number too large to be counted here
          code,count   | A,99999999999999999999 | must be a whole number, was '99999999999999999999'
          code,count   | A,9223372036854775808 | must lie between -9223372036854775808 and 9223372036854775807, was '9223372036854775808'
          code,special | A,yes     | must be true or false, was 'yes'
          code,side    | A,middle  | 'middle' is none of LEFT, RIGHT
          code,sides   | A,LEFT;RIGHT | 'LEFT;RIGHT' is none of LEFT, RIGHT
          code,day     | A,29.3.26 | must be a date, for example 2026-03-29
          code,measuredAt | A,2026-03-29T00:59:59 | must be a time with its offset, for example 2026-03-29T00:59:59.25Z or 2026-03-29T02:59:59+02:00
          """)
  void aFieldThatIsWrongIsToldWithItsColumn(String header, String row, String detail) {
    Problem problem = refused(header + "\n" + row);
    assertThat(problem.faults()).hasSize(1);
    assertThat(problem.faults().get(0).pointer())
        .startsWith("/" + header.substring(header.indexOf(',') + 1));
    assertThat(problem.faults().get(0).detail()).isEqualTo(detail);
  }

  @Test
  void everyFaultIsToldWithItsLine() {
    Problem problem = refused("code,mass\nA,1\n,x\nB,2\nC,-\n\nD");
    assertThat(problem.faults())
        .extracting(Problem.Fault::line, Problem.Fault::pointer)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(3, "/mass"),
            org.assertj.core.groups.Tuple.tuple(5, "/mass"),
            org.assertj.core.groups.Tuple.tuple(7, ""));
    assertThat(problem.detail()).isEqualTo("3 faults in 5 rows; nothing was stored.");
  }

  @Test
  void whatTheActionRefusesIsToldWithItsLineToo() {
    Problem problem =
        catchThrowableOfType(
            Problem.class,
            () ->
                bodies.everyCsvRow(
                    stream("code\nA\nB\n"),
                    Sample.class,
                    sample -> {
                      throw Problem.at(ProblemType.ALREADY_EXISTS, "/code", "is taken");
                    }));
    assertThat(problem.faults())
        .containsExactly(
            new Problem.Fault(2, "/code", "is taken"), new Problem.Fault(3, "/code", "is taken"));
  }

  @Test
  void ofVeryManyFaultsTheFirstAreToldAndAllAreCounted() {
    Problem problem = refused("code\n" + "two words\n".repeat(50_000));
    assertThat(problem.detail()).startsWith("50000 faults in 50000 rows");
    assertThat(problem.faults()).hasSize(200);
  }

  @Test
  void aHeaderThatIsWrongIsRefusedWithEveryFault() {
    Problem problem = refused("code,mas,mass,code,parts\nA,1,1,A,1");
    assertThat(problem.type()).isEqualTo(ProblemType.INVALID_REQUEST);
    assertThat(problem.faults())
        .extracting(Problem.Fault::detail)
        .containsExactly(
            "is no column here; known are code, mass, measuredAt, count, special, side, day, sides",
            "stands twice in the header",
            "is no column here; known are code, mass, measuredAt, count, special, side, day,"
                + " sides");
  }

  @Test
  void aBodyWithoutAHeaderIsRefused() {
    assertThat(refused("").detail()).isEqualTo("The first line must name the columns.");
    assertThat(refused("\ncode\nA").detail()).isEqualTo("The first line must name the columns.");
    assertThat(refused("\0code\nA").detail()).isEqualTo("Line 1 holds a NUL byte at column 1.");
  }

  @Test
  void aHeaderWithoutRowsStoresNothing() {
    assertThat(rows("code\n")).isZero();
    assertThat(rows("\uFEFFcode\r\n\r\n")).isZero();
  }

  @Test
  void aBodyThatIsCutOffIsRefused() {
    InputStream cut =
        new java.io.SequenceInputStream(
            stream("code\nA\nB"),
            new InputStream() {
              @Override
              public int read() throws IOException {
                throw new IOException("connection reset");
              }
            });
    Problem problem =
        catchThrowableOfType(
            Problem.class, () -> bodies.everyCsvRow(cut, Sample.class, stored::add));
    assertThat(problem.detail()).contains("cut off").contains("Nothing was stored");
  }

  @Test
  void aBodyThatMustFitInMemoryIsBounded() throws IOException {
    assertThat(bodies.whole(stream("code\n"))).hasSize(5);
    assertThat(bodies.whole(new ByteArrayInputStream(new byte[16_777_216]))).hasSize(16_777_216);
    Problem problem =
        catchThrowableOfType(
            Problem.class, () -> bodies.whole(new ByteArrayInputStream(new byte[16_777_217])));
    assertThat(problem.type()).isEqualTo(ProblemType.TOO_LARGE);
    assertThat(problem.detail())
        .isEqualTo("The body is longer than 16777216 bytes; send it in parts.");
  }

  private static String text(Random random, String alphabet) {
    int[] letters = alphabet.codePoints().toArray();
    StringBuilder text = new StringBuilder();
    for (int i = 1 + random.nextInt(8); i > 0; i--) {
      text.appendCodePoint(letters[random.nextInt(letters.length)]);
    }
    return text.toString();
  }

  private int rows(String csv) {
    return bodies.everyCsvRow(stream(csv), Sample.class, stored::add);
  }

  private Problem refused(String csv) {
    Problem problem = catchThrowableOfType(Problem.class, () -> rows(csv));
    assertThat(problem).isNotNull();
    return problem;
  }

  private static InputStream stream(String text) {
    return new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8));
  }
}
