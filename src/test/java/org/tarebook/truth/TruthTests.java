package org.tarebook.truth;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.segment.CheckedSegments;
import org.tarebook.storage.Vendor;

/**
 * The short form of {@link TruthUnderStress}: nothing is killed, everything else is the same. Two
 * copies of the service share one PostgreSQL.
 */
@OnBothDatabases
class TruthTests {

  private static final long SEED = 36;

  private final TestDatabase database;

  TruthTests(TestDatabase database) {
    this.database = database;
  }

  @Test
  void everyAnswerIsWhatTheFactsComeTo() throws Exception {
    List<RunningTarebook> copies = new ArrayList<>();
    try {
      copies.add(start());
      if (database.vendor() == Vendor.POSTGRESQL) {
        copies.add(start());
      }
      Site site =
          new Site(database.vendor().name(), database.url(), database.user(), database.password());
      site.serve(copies.stream().map(RunningTarebook::base).toList());
      Instant aMinuteAgo = Moments.now().minusSeconds(61);
      copies.forEach(copy -> copy.clock().set(aMinuteAgo));
      Stress stress = new Stress(site, SEED, 1);
      for (int i = 0; i < 15 && stress.counts().facts() <= 100; i++) { // more on a slow machine
        stress.work(Duration.ofSeconds(4), () -> {});
      }
      stress.freezeLimits();
      stress.quiet(5);
      stress.remember(Moments.now());
      copies.forEach(copy -> copy.clock().run()); // an answer stands for the beginning of a minute
      stress.changeShifts();
      stress.work(Duration.ofSeconds(3), () -> {});
      stress.quiet(5);
      CheckedSegments segments = CheckedSegments.of(copies.get(0));
      System.out.println("Truth on " + site.name() + ": " + stress.counts() + ", " + segments);
      assertThat(site.allWrong()).isEmpty();
      assertThat(segments.differences()).isEmpty();
      assertThat(segments.compared()).isPositive();
      assertThat(stress.counts().facts()).isGreaterThan(100);
      assertThat(stress.counts().answersUnderLoad()).isPositive();
      assertThat(stress.counts().answersAsOf()).isPositive();
    } finally {
      copies.forEach(RunningTarebook::close);
    }
  }

  private RunningTarebook start() {
    return RunningTarebook.start(
        database, "--tarebook.segments-every=PT0.2S", "--tarebook.specification-lead=PT0.5S");
  }
}
