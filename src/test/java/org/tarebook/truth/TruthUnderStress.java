package org.tarebook.truth;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.segment.CheckedSegments;
import org.tarebook.storage.Vendor;

/**
 * The long form, run on demand: two copies of the service on one PostgreSQL, and one on an H2 file,
 * each in a process of its own, with connections that live for 30 seconds. In every round all are
 * at work while a service, or the database, is killed and started again; then the whole record is
 * held against what was acknowledged, answers against the recomputation, and segments against their
 * readings.
 *
 * <p>Arguments: seed, rounds, seconds of work in a round, {@code POSTGRESQL}, {@code H2} or {@code
 * BOTH}, and whether to kill: with {@code false} every failed request is wrong. Ends with 1 if
 * anything was wrong.
 */
public final class TruthUnderStress {

  private static final int QUESTIONS = 20;

  private final Vendor vendor;
  private final boolean kills;
  private final Random random;
  private final Path folder;
  private final List<KillableService> copies = new ArrayList<>();
  private final @Nullable KillablePostgres postgres;
  private final TestDatabase database;
  private final Site site;
  private int servicesKilled;
  private int databasesKilled;
  private long segments;

  private TruthUnderStress(Vendor vendor, long seed, boolean kills) throws IOException {
    this.vendor = vendor;
    this.kills = kills;
    this.random = new Random(seed);
    this.folder =
        Files.createTempDirectory(Files.createDirectories(Path.of("target/truth")), "run");
    boolean real = vendor == Vendor.POSTGRESQL;
    this.postgres = real ? new KillablePostgres(folder.toAbsolutePath().resolve("postgres")) : null;
    // AUTO_SERVER lets the harness look into the file that the service holds open.
    this.database =
        new TestDatabase(
            vendor,
            postgres != null
                ? postgres.url()
                : "jdbc:h2:file:"
                    + folder.toAbsolutePath().resolve("tarebook")
                    + ";WRITE_DELAY=0;LOCK_TIMEOUT=20000;AUTO_SERVER=TRUE",
            real ? "postgres" : "tarebook",
            "");
    this.site = new Site(vendor + " seed " + seed, database.url(), database.user(), "");
    for (int i = 0; i < (real ? 2 : 1); i++) {
      copies.add(
          new KillableService(
              database.url(), database.user(), folder.resolve("service-" + i + ".log")));
    }
  }

  /** Runs it. */
  public static void main(String[] arguments) throws Exception {
    long seed = arguments.length > 0 ? Long.parseLong(arguments[0]) : 1;
    int rounds = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 4;
    int seconds = arguments.length > 2 ? Integer.parseInt(arguments[2]) : 20;
    boolean kills = arguments.length < 5 || Boolean.parseBoolean(arguments[4]);
    boolean right = true;
    for (Vendor vendor : Vendor.values()) {
      if (arguments.length < 4 || List.of("BOTH", vendor.name()).contains(arguments[3])) {
        right &= new TruthUnderStress(vendor, seed, kills).run(rounds, Duration.ofSeconds(seconds));
      }
    }
    System.exit(right ? 0 : 1);
  }

  private boolean run(int rounds, Duration time) throws Exception {
    Instant start = Instant.now();
    try {
      if (postgres != null) {
        postgres.start();
      }
      for (KillableService copy : copies) {
        copy.start();
      }
      site.serve(copies.stream().map(KillableService::base).toList());
      Stress stress = new Stress(site, random.nextLong(), 1);
      for (int round = 1; round <= rounds; round++) {
        stress.work(time, kills ? () -> killing(time) : () -> {});
        settle();
        stress.quiet(QUESTIONS);
        checkSegments();
        rememberIfSoon(stress);
        if (round == 1) {
          stress.freezeLimits();
        } else if (round == 2) {
          stress.changeShifts();
        }
        System.out.printf(
            "%s, round %d of %d, %d s: %s, segments compared %d, services killed %d, databases"
                + " killed %d, wrong %d%n",
            site.name(),
            round,
            rounds,
            Duration.between(start, Instant.now()).toSeconds(),
            stress.counts(),
            segments,
            servicesKilled,
            databasesKilled,
            site.allWrong().size());
      }
    } finally {
      copies.forEach(KillableService::kill);
      if (postgres != null) {
        postgres.kill();
      }
    }
    return site.allWrong().isEmpty();
  }

  /** An answer stands for the beginning of a minute, so one that begins soon is remembered. */
  private static void rememberIfSoon(Stress stress) throws Exception {
    long left = 60_000 - Math.floorMod(System.currentTimeMillis(), 60_000L);
    if (left < 25_000) {
      stress.remember(Moments.now().truncatedTo(ChronoUnit.MINUTES).plus(1, ChronoUnit.MINUTES));
      Thread.sleep(left + 100);
    }
  }

  /** In the middle of the work something is killed, and started again a little later. */
  private void killing(Duration time) {
    try {
      Thread.sleep(time.toMillis() / 3 + random.nextInt(2000));
      site.disturbed(true);
      boolean killDatabase = postgres != null && random.nextInt(3) == 0;
      if (killDatabase && postgres != null) {
        postgres.kill();
        databasesKilled++;
        Thread.sleep(random.nextInt(1500));
        postgres.start();
      } else {
        killService(copies.get(random.nextInt(copies.size())));
        Thread.sleep(3000);
        site.disturbed(false);
      }
    } catch (IOException | InterruptedException | RuntimeException failure) {
      site.wrong("what was killed did not start again: " + failure);
    }
  }

  private void killService(KillableService copy) throws IOException, InterruptedException {
    boolean file = vendor == Vendor.H2;
    if (file) {
      site.closed(true);
    }
    try {
      copy.kill();
      servicesKilled++;
      Thread.sleep(random.nextInt(1500));
      copy.start();
    } finally {
      if (file) {
        site.closed(false);
      }
    }
  }

  /** Waits until every copy takes requests again. */
  private void settle() throws InterruptedException {
    for (int i = 0; i < 300; i++) {
      boolean ready = true;
      for (KillableService copy : copies) {
        ready &= copy.ready();
      }
      if (ready) {
        site.disturbed(false);
        return;
      }
      Thread.sleep(200);
    }
    site.wrong("the services are not ready again");
  }

  /** Compares segments by a copy of the service in this process, which builds none. */
  private void checkSegments() {
    try (RunningTarebook checking =
        RunningTarebook.start(database, "--tarebook.segments-every=PT10H")) {
      CheckedSegments checked = CheckedSegments.of(checking);
      segments += checked.compared();
      checked.differences().forEach(site::wrong);
    }
  }
}
