package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.springframework.mock.web.MockHttpServletRequest;
import org.springframework.mock.web.MockHttpServletResponse;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Deadline;
import org.tarebook.storage.Vendor;

class StudiesAtOnceTests {

  private final MockHttpServletRequest request = new MockHttpServletRequest();
  private final MockHttpServletResponse response = new MockHttpServletResponse();

  @Test
  void oneMoreThanMayIsRefusedUntilAnotherEnds() {
    StudiesAtOnce studies = new StudiesAtOnce(1, Duration.ofMillis(50), Duration.ofMinutes(1));
    assertThat(studies.preHandle(request, response, this)).isTrue();
    assertThatThrownBy(() -> studies.preHandle(request, response, this))
        .isInstanceOfSatisfying(
            Problem.class, busy -> assertThat(busy.type()).isEqualTo(ProblemType.TOO_BUSY));
    assertThat(response.getHeader("Retry-After")).isEqualTo("5");
    studies.afterCompletion(request, response, this, null);
    assertThat(studies.preHandle(request, response, this)).isTrue();
    Deadline.require();
    studies.afterCompletion(request, response, this, null);
  }

  /** Its deadline is that of the request, and of nothing that its thread does later. */
  @Test
  void aStudyMayTakeItsTimeAndNoLonger() {
    StudiesAtOnce studies = new StudiesAtOnce(1, Duration.ZERO, Duration.ofNanos(-1));
    studies.preHandle(request, response, this);
    assertThatThrownBy(Deadline::require).isInstanceOf(Deadline.Passed.class);
    studies.afterCompletion(request, response, this, null);
    Deadline.require();
  }

  /** Where no study may run, studies are refused and all else is answered. */
  @Test
  void studiesAreBoundedAndNothingElse() {
    try (RunningTarebook tarebook =
        RunningTarebook.start(TestDatabase.create(Vendor.H2), "--tarebook.studies-at-once=0")) {
      Answer busy = tarebook.reader().get("/api/v1/run-lengths?rules=NELSON_1").expect(503);
      assertThat(busy.problem()).isEqualTo("too-busy");
      assertThat(busy.header("Retry-After")).isEqualTo("5");
      tarebook.reader().get("/api/v1/readings").expect(200);
    }
  }
}
