package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import io.micrometer.core.instrument.simple.SimpleMeterRegistry;
import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.access.RefusedRequests.Reason;
import org.tarebook.fixtures.MutableClock;

@ExtendWith(OutputCaptureExtension.class)
class RefusedRequestsTests {

  private final MutableClock clock = new MutableClock();
  private final RefusedRequests refused = new RefusedRequests(new SimpleMeterRegistry(), clock);

  @Test
  void theBrakeBeginsWithTheSixtiethWrongTokenOfAMinuteAndLastsAMinute() {
    clock.set("2026-05-04T06:00:00Z");
    wrong("10.0.0.1", RefusedRequests.MOST_WRONG - 1);
    assertThat(refused.brake("10.0.0.1")).isZero();
    clock.forward(Duration.ofSeconds(59));
    wrong("10.0.0.1", 1);
    assertThat(refused.brake("10.0.0.1")).isEqualTo(Duration.ofMinutes(1));
    wrong("10.0.0.1", 1_000);
    clock.forward(Duration.ofSeconds(60));
    assertThat(refused.brake("10.0.0.1")).isZero();
    assertThat(refused.brake("10.0.0.2")).isZero();
  }

  @Test
  void seldomWrongTokensAndOtherRefusalsBrakeNothing() {
    clock.set("2026-05-04T06:00:00Z");
    for (int i = 0; i < 300; i++) {
      wrong("10.0.0.1", 1);
      refused.note(Reason.NO_TOKEN, null, "10.0.0.2");
      refused.note(Reason.NOT_ALLOWED, 7L, "10.0.0.2");
      clock.forward(Duration.ofSeconds(2));
    }
    assertThat(refused.brake("10.0.0.1")).isZero();
    assertThat(refused.brake("10.0.0.2")).isZero();
  }

  @Test
  void anUnknownTextIsSkippedOnlyWhileItsAddressIsBraked() {
    refused.rememberUnknown("a");
    assertThat(refused.skips("a", "10.0.0.1")).isFalse();
    wrong("10.0.0.1", RefusedRequests.MOST_WRONG);
    assertThat(refused.skips("a", "10.0.0.1")).isTrue();
    assertThat(refused.skips("b", "10.0.0.1")).isFalse();
    assertThat(refused.skips("a", "10.0.0.2")).isFalse();
  }

  @Test
  void anyNumberOfAddressesIsToldInOneLineAndTheOldestAreForgotten(CapturedOutput output) {
    wrong("10.0.0.1", RefusedRequests.MOST_WRONG);
    for (int i = 0; i < 20_000; i++) {
      wrong("10.1." + i / 200 + "." + i % 200, 1);
      refused.rememberUnknown(Integer.toString(i));
    }
    assertThat(refused.brake("10.0.0.1")).isZero();
    wrong("10.0.0.3", RefusedRequests.MOST_WRONG);
    assertThat(refused.skips("0", "10.0.0.3")).isFalse();
    assertThat(refused.skips("19999", "10.0.0.3")).isTrue();

    refused.tell();

    assertThat(output.getAll().lines().filter(line -> line.contains("requests: ")))
        .singleElement()
        .asString()
        .contains("Refused 20120 requests: 60 unknown from 10.0.0.1, ")
        .endsWith(", and further ones")
        .hasSizeLessThan(600);
  }

  private void wrong(String address, int times) {
    for (int i = 0; i < times; i++) {
      refused.note(Reason.UNKNOWN, null, address);
    }
  }
}
