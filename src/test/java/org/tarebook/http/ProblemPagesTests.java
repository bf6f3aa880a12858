package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** The pages themselves; that they are public is held where access is decided. */
class ProblemPagesTests {

  private final ProblemPages pages = new ProblemPages();

  @Test
  void everyProblemHasItsPageAndStandsInTheList() {
    for (ProblemType type : ProblemType.values()) {
      assertThat(pages.one(type.slug()))
          .contains(type.title())
          .contains("status " + type.status().value());
      assertThat(pages.all()).contains("href=\"" + type.path() + "\"");
    }
  }

  @Test
  void anUnknownProblemIsNotFound() {
    org.assertj.core.api.Assertions.assertThatExceptionOfType(Problem.class)
        .isThrownBy(() -> pages.one("<script>"))
        .satisfies(problem -> assertThat(problem.type()).isEqualTo(ProblemType.NOT_FOUND));
  }
}
