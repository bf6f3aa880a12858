package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.io.IOException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.BooleanSupplier;
import java.util.function.Supplier;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.slf4j.LoggerFactory;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Cable;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;

/** A database that is away, closed or locked: what the service answers, and that it comes back. */
@OnBothDatabases
@Timeout(180)
class OutageTests {

  /** A wait of three seconds for a connection and some for locks, on a machine that is busy. */
  private static final Duration SOON = Duration.ofSeconds(10);

  private static final String MEASURED = "2026-11-02T06:00:00Z";

  private final TestDatabase near;
  private final ListAppender<ILoggingEvent> log = new ListAppender<>();
  private Cable cable;
  private Connection alone;
  private RunningTarebook tarebook;
  private ShopFloor floor;
  private Client station;
  private Client reader;
  private long acknowledged;

  OutageTests(Vendor vendor) {
    near = TestDatabase.create(vendor);
  }

  @BeforeEach
  void start() throws IOException {
    near.flyway().load().migrate();
    TestDatabase database = near;
    if (near.vendor() == Vendor.POSTGRESQL) {
      cable = Cable.to(near);
      cable.plugIn();
      database = cable.far();
    }
    tarebook = RunningTarebook.start(database, "--tarebook.judging-again=PT0.2S");
    floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "8.3", "8.5", "kg");
    station = tarebook.station(floor.station());
    reader = tarebook.reader();
    post(posting()).expect(201);
    acknowledged++;
    log.start();
    root().addAppender(log);
  }

  @AfterEach
  void stop() throws SQLException {
    root().detachAppender(log);
    if (alone != null) {
      alone.close();
    }
    tarebook.close();
    if (cable != null) {
      cable.close();
    }
  }

  @Test
  void whileItIsAwayEveryAddressAnswers503AndAfterwardsNothingIsLost() throws Exception {
    String before = posting();
    post(before).expect(201);
    String meanwhile = posting();
    away();

    for (int i = 0; i < 3; i++) {
      unavailable(() -> post(meanwhile));
      unavailable(() -> reader.get("/api/v1/readings?line=" + floor.line()));
      unavailable(() -> reader.get("/api/v1/lines"));
      unavailable(() -> station.get("/api/v1/readings?station=" + floor.station()));
      unavailable(() -> reader.get("/api/v1/capability?line=" + floor.line()));
      unavailable(() -> reader.get("/api/v1/readings?line=" + floor.line(), "Accept", "text/csv"));
      unavailable(
          () ->
              station.send(
                  "POST", "/api/v1/readings/bulk", "application/x-ndjson", posting() + "\n"));
    }
    assertThat(status("/actuator/health/readiness")).isEqualTo(503);
    assertThat(status("/actuator/health/liveness")).isEqualTo(200);
    assertThat(log.list)
        .as("no trace of a stack, and few lines")
        .noneMatch(event -> event.getThrowableProxy() != null)
        .hasSizeLessThan(6)
        .anyMatch(event -> event.getFormattedMessage().startsWith("The database does not answer"));

    back();
    await(() -> post(meanwhile).status() == 201);
    post(before).expect(200);
    await(() -> status("/actuator/health/readiness") == 200);
    assertThat(readings()).isEqualTo(acknowledged + 2);
  }

  @Test
  void aCommitThatIsNotConfirmedIsToldSoAndItsKeyKeepsItSingle() throws Exception {
    if (cable == null) {
      return; // H2 runs in the process itself
    }
    String detail = "";
    for (int i = 0; i < 50 && !detail.contains("may be stored or not"); i++) {
      String posting = posting();
      cable.cutAfter("COMMIT"); // that of the posting, or one of work that runs by the clock
      Answer answer = post(posting);
      detail = answer.status() == 503 ? answer.at("/detail").asString() : "";
      await(() -> post(posting).status() / 100 == 2);
      acknowledged++;
    }
    assertThat(detail).contains("may be stored or not");
    assertThat(readings()).isEqualTo(acknowledged);
  }

  @Test
  void anEmbeddedFileThatWasClosedIsOpenedAgain() throws Exception {
    if (cable != null) {
      return;
    }
    for (int round = 0; round < 2; round++) {
      try (Connection other = near.dataSource().getConnection();
          Statement statement = other.createStatement()) {
        statement.execute("shutdown immediately");
      } catch (SQLException closed) {
        assertThat(closed.getSQLState()).isIn("90098", "90121");
      }
      String next = posting();
      await(() -> post(next).status() / 100 == 2);
      acknowledged++;
      assertThat(readings()).isEqualTo(acknowledged);
    }
    assertThat(log.list).noneMatch(event -> event.getThrowableProxy() != null);
  }

  @Test
  void lockedRowsHoldNobodyForLong() throws Exception {
    try (Connection other = near.dataSource().getConnection();
        Statement statement = other.createStatement()) {
      other.setAutoCommit(false);
      statement.execute("update station_lock set version = version");
      ExecutorService clients = Executors.newFixedThreadPool(24);
      List<CompletableFuture<Answer>> posts = new ArrayList<>();
      for (int i = 0; i < 24; i++) {
        String posting = posting();
        posts.add(CompletableFuture.supplyAsync(() -> unavailable(() -> post(posting)), clients));
      }
      for (CompletableFuture<Answer> post : posts) {
        assertThat(post.get().at("/detail").asString()).contains("Nothing of the request was");
      }
      clients.shutdown();
      reader.get("/api/v1/lines").expect(200);
      assertThat(status("/actuator/health/readiness")).isEqualTo(200);
      other.rollback();
    }
    assertThat(log.list).noneMatch(event -> event.getThrowableProxy() != null);
    post(posting()).expect(201);
    assertThat(readings()).isEqualTo(acknowledged + 1);
  }

  private void away() throws SQLException {
    if (cable != null) {
      cable.pull();
      return;
    }
    alone = near.dataSource().getConnection();
    try (Statement statement = alone.createStatement()) {
      statement.execute("set exclusive 2");
    }
  }

  private void back() throws SQLException {
    if (cable != null) {
      cable.plugIn();
      return;
    }
    try (Statement statement = alone.createStatement()) {
      statement.execute("set exclusive false");
    }
  }

  private String posting() {
    return floor.posting(8.4, "kg", MEASURED);
  }

  private Answer post(String posting) {
    return station.post("/api/v1/readings", posting);
  }

  private int status(String path) {
    return tarebook.anonymous().get(path).status();
  }

  private long readings() {
    return tarebook.sql().sql("select count(*) from reading").query(Long.class).single();
  }

  private static Answer unavailable(Supplier<Answer> request) {
    long begin = System.nanoTime();
    Answer answer = request.get().expect(503);
    assertThat(Duration.ofNanos(System.nanoTime() - begin)).isLessThan(SOON);
    assertThat(answer.header("Retry-After")).isEqualTo("5");
    assertThat(answer.problem()).isEqualTo("unavailable");
    return answer;
  }

  private static void await(BooleanSupplier condition) throws InterruptedException {
    while (!condition.getAsBoolean()) {
      Thread.sleep(100);
    }
  }

  private static Logger root() {
    return (Logger) LoggerFactory.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
  }
}
