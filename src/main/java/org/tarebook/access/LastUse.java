package org.tarebook.access;

import jakarta.annotation.PreDestroy;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import org.springframework.dao.DataAccessException;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;
import org.springframework.transaction.TransactionException;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;

/**
 * When each token was last taken, to the minute. It is gathered in memory and stored by the clock,
 * so no request writes for it; of several copies of the service the latest time stays.
 */
@Component
class LastUse {

  private final JdbcTemplate batches;
  private final Transactions transactions;
  private final Clock clock;
  private final Map<Long, Instant> gathered = new ConcurrentHashMap<>();

  LastUse(JdbcTemplate batches, Transactions transactions, Clock clock) {
    this.batches = batches;
    this.transactions = transactions;
    this.clock = clock;
  }

  /** Notes that a token is taken now. */
  void note(long token) {
    gathered.put(token, clock.instant().truncatedTo(ChronoUnit.MINUTES));
  }

  /** What is not stored yet of a token. */
  Optional<Instant> gathered(long token) {
    return Optional.ofNullable(gathered.get(token));
  }

  /** Stores what was gathered; what cannot be stored now is kept for the next time. */
  @Scheduled(fixedDelayString = "${tarebook.access-every}")
  @PreDestroy
  void store() {
    Map<Long, Instant> taken = new TreeMap<>(gathered);
    if (taken.isEmpty()) {
      return;
    }
    try {
      transactions.write(
          () ->
              batches.batchUpdate(
                  "update access_token set last_used_at = ?"
                      + " where id = ? and (last_used_at is null or last_used_at < ?)",
                  taken.entrySet().stream()
                      .map(
                          each ->
                              new Object[] {
                                SqlTime.of(each.getValue()),
                                each.getKey(),
                                SqlTime.of(each.getValue())
                              })
                      .toList()));
    } catch (DataAccessException | TransactionException away) {
      return;
    }
    taken.forEach(gathered::remove);
  }
}
