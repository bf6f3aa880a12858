package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import org.junit.jupiter.api.Test;

class CursorTests {

  private static final String QUESTION = "line=T-1|from=2026-03-29T00:00:00Z";

  @Test
  void opensWhatItSealed() {
    for (String position : new String[] {"", "T-1", "2026-03-29T00:59:59.25Z 17", "größe 🛞"}) {
      String sealed = new Cursor(position).seal(QUESTION);
      assertThat(sealed).matches("[A-Za-z0-9_-]+");
      assertThat(Cursor.open(sealed, QUESTION)).isEqualTo(new Cursor(position));
    }
  }

  @Test
  void withoutACursorAListStartsAtTheBeginning() {
    assertThat(Cursor.open(null, QUESTION)).isNull();
  }

  @Test
  void refusesACursorOfAnotherQuestion() {
    assertRefused(new Cursor("T-1").seal("line=T-2"));
  }

  @Test
  void refusesWhatWasCutOrChangedOnItsWay() {
    String sealed = new Cursor("2026-03-29T00:59:59.25Z 17").seal(QUESTION);
    for (int end = 0; end < sealed.length(); end++) {
      assertRefused(sealed.substring(0, end));
    }
    for (int at = 0; at < sealed.length(); at++) {
      char other = sealed.charAt(at) == 'A' ? 'h' : 'A';
      assertRefused(sealed.substring(0, at) + other + sealed.substring(at + 1));
    }
    assertRefused(sealed + "AAAA");
    assertRefused("%00");
    assertRefused(new Cursor("T\0-1").seal(QUESTION));
    assertRefused("two words");
  }

  private static void assertRefused(String cursor) {
    assertThatExceptionOfType(Problem.class)
        .isThrownBy(() -> Cursor.open(cursor, QUESTION))
        .satisfies(
            problem -> {
              assertThat(problem.type()).isEqualTo(ProblemType.CURSOR_DOES_NOT_FIT);
              assertThat(problem.faults().get(0).pointer()).isEqualTo("cursor");
              assertThat(problem.detail()).contains("start again without it");
            });
  }
}
