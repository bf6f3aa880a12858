package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.springframework.dao.QueryTimeoutException;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

class NotComputedTests {

  private final List<NotComputed> missing = new ArrayList<>();

  @Test
  void aFaultTakesItsOwnFiguresOnly() {
    assertThat(NotComputed.attempt(List.of("cp"), missing, () -> 1.5)).isEqualTo(1.5);
    assertThat(missing).isEmpty();
    Integer failed =
        NotComputed.attempt(
            List.of("cpm", "cpk"),
            missing,
            () -> {
              throw new ArithmeticException("no convergence");
            });
    assertThat(failed).isNull();
    assertThat(missing).extracting(NotComputed::figure).containsExactly("cpm", "cpk");
    assertThat(missing)
        .allSatisfy(
            each -> {
              assertThat(each.reason()).isEqualTo(NotComputed.Reason.FAULT);
              assertThat(each.words()).containsPattern("fault [0-9a-f-]{36}\\.");
            });
  }

  @Test
  void whatIsRefusedStaysRefused() {
    assertThatThrownBy(
            () ->
                NotComputed.attempt(
                    List.of("cp"),
                    missing,
                    () -> {
                      throw new Problem(ProblemType.RULE_BROKEN, "too many");
                    }))
        .isInstanceOf(Problem.class);
    assertThatThrownBy(
            () ->
                NotComputed.attempt(
                    List.of("cp"),
                    missing,
                    () -> {
                      throw new QueryTimeoutException("away");
                    }))
        .isInstanceOf(QueryTimeoutException.class);
    assertThat(missing).isEmpty();
  }
}
