package org.tarebook.cure;

import java.util.ArrayDeque;
import java.util.Deque;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.tarebook.fixtures.CountedStatements;

/** How many statements the requests of a press controller send to the database. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class CureStatementCountTests {

  private static final String CSV = "text/csv";
  private static final String END = "2026-03-02T06:30:00Z";

  private CountedStatements counted;
  private CureFloor floor;

  @BeforeAll
  void aPressWithASchedule() {
    counted = new CountedStatements();
    floor = new CureFloor(counted.tarebook());
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
  }

  @AfterAll
  void close() {
    counted.close();
  }

  @Test
  void aLoadIsPosted() {
    counted.assertThatSends(30, () -> floor.start(floor.cure()));
  }

  @Test
  void aPieceOfALog() {
    Deque<String> loads = loads();
    counted.assertThatSends(
        20, () -> floor.samples(loads.pop(), "key=1", CSV, HealthyLog.whole().csv()).expect(201));
  }

  @Test
  void aLoadIsClosedAndJudged() {
    Deque<String> loads = loads();
    for (String load : loads) {
      floor.samples(load, "key=1", CSV, HealthyLog.whole().csv()).expect(201);
    }
    counted.assertThatSends(44, () -> floor.close(loads.pop(), END).expect(201));
  }

  @Test
  void aPageOfLoads() {
    counted.assertThatSends(
        30, () -> counted.tarebook().reader().get("/api/v1/cures?limit=50").expect(200));
  }

  private Deque<String> loads() {
    Deque<String> loads = new ArrayDeque<>();
    loads.push(floor.start(floor.cure()));
    loads.push(floor.start(floor.cure()));
    return loads;
  }
}
