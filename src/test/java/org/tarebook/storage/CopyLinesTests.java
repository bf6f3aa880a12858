package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;

class CopyLinesTests {

  // By hand, after the text format of PostgreSQL's documentation of COPY.
  @Test
  void textsNeverLookLikeTheFormat() {
    byte[] lines =
        CopyLines.of(
            List.of("a\tb", "\\N", "c\nd\re"), text -> new Object[] {text, null, text.length()});
    assertThat(new String(lines, StandardCharsets.UTF_8))
        .isEqualTo("a\\tb\t\\N\t3\n\\\\N\t\\N\t2\nc\\nd\\re\t\\N\t5\n");
  }

  @Test
  void numbersAndTimesArePlain() {
    byte[] lines =
        CopyLines.of(
            List.of(new BigDecimal("1E+3")),
            value ->
                new Object[] {value, SqlTime.of(Instant.parse("2026-03-29T00:59:59.250001Z")), 7L});
    assertThat(new String(lines, StandardCharsets.UTF_8))
        .isEqualTo("1000\t2026-03-29T00:59:59.250001Z\t7\n");
  }
}
