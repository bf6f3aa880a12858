package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Vendor;

@OnBothDatabases
class RejectStoreTests {

  private static final Instant DAY = Instant.parse("2026-01-21T00:00:00Z");

  /** A second or less where indexes are used; many minutes where each item scans the record. */
  @Test
  @Timeout(600)
  void dayOfALargeRecordIsCounted(Vendor vendor) {
    try (Works works = Works.start(vendor)) {
      works.fill(50_000);
      RateAnswer answer =
          works
              .tarebook()
              .bean(RejectRates.class)
              .of(
                  new RateQuestion(
                      DAY,
                      DAY.plusSeconds(86_400),
                      Set.of(),
                      Bucket.HOUR,
                      RateQuestion.Narrowing.NONE,
                      0.95,
                      IntervalMethod.WILSON,
                      true,
                      null));
      assertThat(answer.rows()).hasSize(24);
      // Minutes 28800 to 30239: of 144 readings with a number 96 are its second or third; 14
      // minutes
      // end in 07 within a hundred, and 30207 is the fifteenth. 72 minutes are 3 beyond twenty.
      assertThat(answer.total().readings()).isEqualTo(1440);
      assertThat(answer.total().remeasured()).isEqualTo(96 + 15);
      assertThat(answer.total().judged()).isEqualTo(1440 - 96 - 15);
      assertThat(answer.total().rejected()).isEqualTo(72);
    }
  }
}
