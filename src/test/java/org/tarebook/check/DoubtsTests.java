package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

class DoubtsTests {

  private static final Doubts NONE = new Doubts(List.of());

  @Test
  void tellsTheWholeWindowOfANewDoubt() {
    Doubts open = new Doubts(List.of(new Doubt(2, at(6), at(10), null, null)));
    assertThat(open.changedSince(NONE)).contains(new Doubts.Window(at(6), null));
    Doubts closed = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    assertThat(closed.changedSince(NONE)).contains(new Doubts.Window(at(6), at(12)));
  }

  @Test
  void tellsOnlyTheTimeAfterwardsWhenADoubtIsClosed() {
    Doubts open = new Doubts(List.of(new Doubt(2, at(6), at(10), null, null)));
    Doubts closed = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    assertThat(closed.changedSince(open)).contains(new Doubts.Window(at(12), null));
  }

  @Test
  void tellsWhatALateGoodCheckClears() {
    Doubts wide = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    Doubts narrow = new Doubts(List.of(new Doubt(2, at(8), at(10), 3L, at(12))));
    assertThat(narrow.changedSince(wide)).contains(new Doubts.Window(at(6), at(8)));
  }

  @Test
  void tellsNothingWhenNoReadingIsConcerned() {
    Doubts doubts = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    assertThat(doubts.changedSince(doubts)).isEmpty();
    assertThat(NONE.changedSince(NONE)).isEmpty();
    Doubts ofNoTime = new Doubts(List.of(new Doubt(4, at(10), at(10), 5L, at(10))));
    assertThat(ofNoTime.changedSince(NONE)).isEmpty();
  }

  @Test
  void holdsEveryMomentThatChangedAndChangesAtBothEnds() {
    Random random = new Random(7);
    int changed = 0;
    for (int run = 0; run < 2_000; run++) {
      Doubts before = new CheckHistory(CheckHistoryTests.anyChecks(random)).doubts();
      Doubts after = new CheckHistory(CheckHistoryTests.anyChecks(random)).doubts();
      Optional<Doubts.Window> window = after.changedSince(before);
      changed += window.isPresent() ? 1 : 0;
      for (int second = 0; second <= 20; second++) {
        Instant moment = Instant.ofEpochSecond(second);
        boolean inside =
            window.isPresent()
                && !moment.isBefore(window.get().from())
                && (window.get().before() == null || moment.isBefore(window.get().before()));
        if (!inside) {
          assertThat(trust(after, moment)).isEqualTo(trust(before, moment));
        }
      }
      window.ifPresent(
          hull -> {
            assertThat(trust(after, hull.from())).isNotEqualTo(trust(before, hull.from()));
            Instant last = hull.before() == null ? at(1000) : hull.before().minusNanos(1);
            assertThat(trust(after, last)).isNotEqualTo(trust(before, last));
          });
    }
    assertThat(changed).isGreaterThan(1_000);
  }

  @Test
  void saysWhatACheckOpenedAndClosed() {
    Doubts doubts = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    assertThat(doubts.effectOf(outcome(1, 6, CheckResult.PASS)))
        .isEqualTo("It is the last good check before the doubt of 1970-01-01T10:00:00Z.");
    assertThat(doubts.effectOf(outcome(2, 10, CheckResult.FAIL)))
        .isEqualTo(
            "It opened a doubt: readings measured from 1970-01-01T06:00:00Z until just before"
                + " 1970-01-01T10:00:00Z are suspect; readings measured from then until just before"
                + " 1970-01-01T12:00:00Z do not count.");
    assertThat(doubts.effectOf(outcome(3, 12, CheckResult.PASS)))
        .isEqualTo(
            "It closed the doubt of 1970-01-01T10:00:00Z: readings measured from"
                + " 1970-01-01T12:00:00Z on count, and those that were not judged because of it are"
                + " judged.");
    assertThat(doubts.effectOf(outcome(4, 13, CheckResult.PASS)))
        .isEqualTo("It opened and closed no doubt.");
  }

  @Test
  void saysHowFarADoubtReachesWhereAnEndIsMissing() {
    Doubt open = new Doubt(2, Instant.EPOCH, at(10), null, null);
    assertThat(new Doubts(List.of(open)).effectOf(outcome(2, 10, CheckResult.FAIL)))
        .isEqualTo(
            "It opened a doubt: every reading measured before 1970-01-01T10:00:00Z is suspect, as"
                + " no good check is on record before it; readings measured from then on do not count,"
                + " and those posted after the check are not judged, until a check leaves the"
                + " instrument right.");
    Doubt atOnce = new Doubt(2, at(6), at(10), 2L, at(10));
    assertThat(
            new Doubts(List.of(atOnce))
                .effectOf(new CheckOutcome(2, at(10), CheckResult.FAIL, CheckResult.PASS)))
        .endsWith("are suspect; the instrument was put right at once.");
    Doubt leftWrong = new Doubt(2, at(10), at(10), null, null);
    assertThat(
            new Doubts(List.of(leftWrong))
                .effectOf(new CheckOutcome(2, at(10), CheckResult.PASS, CheckResult.FAIL)))
        .startsWith("It opened a doubt: no reading measured before it is suspect;");
  }

  @Test
  void saysWhatTheVoidingOfACheckChanged() {
    Doubt open = new Doubt(2, at(6), at(10), null, null);
    assertThat(NONE.withoutCheck(new Doubts(List.of(open))))
        .isEqualTo(
            "It was voided and says nothing of the instrument. The doubt of 1970-01-01T10:00:00Z"
                + " that rested on it is lifted.");
    Doubts closed = new Doubts(List.of(new Doubt(2, at(6), at(10), 3L, at(12))));
    assertThat(new Doubts(List.of(open)).withoutCheck(closed))
        .isEqualTo(
            "It was voided and says nothing of the instrument. The doubt of 1970-01-01T10:00:00Z"
                + " stands without it: readings measured from 1970-01-01T06:00:00Z until just before"
                + " 1970-01-01T10:00:00Z are suspect; readings measured from then on do not count,"
                + " and those posted after the check are not judged, until a check leaves the"
                + " instrument right.");
    assertThat(closed.withoutCheck(closed))
        .isEqualTo("It was voided and says nothing of the instrument.");
  }

  private static String trust(Doubts doubts, Instant moment) {
    boolean suspect = doubts.all().stream().anyMatch(doubt -> doubt.suspectAt(moment));
    boolean failed = doubts.all().stream().anyMatch(doubt -> doubt.failedAt(moment));
    return suspect + " " + failed;
  }

  private static CheckOutcome outcome(long id, int hour, CheckResult asFound) {
    return new CheckOutcome(id, at(hour), asFound, null);
  }

  private static Instant at(int hour) {
    return Instant.ofEpochSecond(hour * 3600L);
  }
}
