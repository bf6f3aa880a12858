package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

@OnBothDatabases
class IdsTests {

  private final RunningTarebook tarebook;

  IdsTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void idsRiseWithinOneProcess() {
    Ids ids = tarebook.bean(Ids.class);
    long previous = ids.next();
    for (int i = 0; i < 2500; i++) {
      long next = ids.next();
      assertThat(next).isGreaterThan(previous);
      previous = next;
    }
  }

  @Test
  void afterTheDatabaseCameBackAnotherBlockIsTaken() {
    Ids ids = tarebook.bean(Ids.class);
    long before = ids.next();
    long block =
        tarebook.sql().sql(tarebook.vendor().nextValue("fact_seq")).query(Long.class).single();
    ids.forget();
    assertThat(ids.next()).isGreaterThan(Math.max(before, block));
  }

  @Test
  void noIdIsGivenTwiceByThreadsAndCopiesOfTheService() throws Exception {
    Ids one = tarebook.bean(Ids.class);
    Ids other = new Ids(tarebook.sql(), tarebook.vendor());
    List<Callable<List<Long>>> takers =
        List.of(taking(one), taking(other), taking(one), taking(other));
    ExecutorService threads = Executors.newFixedThreadPool(takers.size());
    try {
      Set<Long> seen = new HashSet<>();
      int taken = 0;
      for (Future<List<Long>> future : threads.invokeAll(takers)) {
        taken += future.get().size();
        seen.addAll(future.get());
      }
      assertThat(taken).isEqualTo(10_000);
      assertThat(seen).hasSize(10_000);
    } finally {
      threads.shutdownNow();
    }
  }

  private static Callable<List<Long>> taking(Ids ids) {
    return () -> {
      List<Long> taken = new ArrayList<>();
      for (int i = 0; i < 2500; i++) {
        taken.add(ids.next());
      }
      return taken;
    };
  }
}
