package org.tarebook.access;

import io.micrometer.core.instrument.MeterRegistry;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/**
 * Requests that were refused for want of a token or a permission: counted by reason, logged in one
 * line an interval, and braked where an address keeps showing wrong tokens. The text of a token is
 * in none of it. All memory is bounded.
 */
@Component
class RefusedRequests {

  /** So many wrong tokens of an address within a minute begin its brake, of a minute too. */
  static final int MOST_WRONG = 60;

  private static final Duration MINUTE = Duration.ofMinutes(1);
  private static final int MOST_SOURCES = 1_000;
  private static final int MOST_LOGGED = 10;
  private static final int MOST_ADDRESSES = 10_000;
  private static final int MOST_UNKNOWN = 10_000;

  private static final Logger log = LoggerFactory.getLogger(RefusedRequests.class);

  private final MeterRegistry meters;
  private final Clock clock;
  private final Map<Source, Long> counts = new LinkedHashMap<>();
  private long furtherSources;
  private final Map<String, Wrong> wrong = bounded(MOST_ADDRESSES);
  private final Map<String, Boolean> unknown = bounded(MOST_UNKNOWN);

  RefusedRequests(MeterRegistry meters, Clock clock) {
    this.meters = meters;
    this.clock = clock;
  }

  /** Why a request was refused. */
  enum Reason {
    NO_TOKEN,
    UNKNOWN,
    EXPIRED,
    REVOKED,
    NOT_ALLOWED;

    /** As it is logged and counted. */
    String word() {
      return name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }
  }

  private record Source(Reason reason, @Nullable Long token, String address) {
    @Override
    public String toString() {
      return reason.word() + (token == null ? "" : " (token " + token + ")") + " from " + address;
    }
  }

  /**
   * Wrong tokens of one address.
   *
   * @param from when counting began
   * @param until when the brake ends; absent while it is off
   */
  private record Wrong(Instant from, int count, @Nullable Instant until) {}

  /** Notes a refusal. */
  synchronized void note(Reason reason, @Nullable Long token, String address) {
    meters.counter("tarebook.requests.refused", "reason", reason.word()).increment();
    Source source = new Source(reason, token, address);
    if (counts.size() < MOST_SOURCES || counts.containsKey(source)) {
      counts.merge(source, 1L, Long::sum);
    } else {
      furtherSources++;
    }
    if (reason == Reason.UNKNOWN || reason == Reason.EXPIRED || reason == Reason.REVOKED) {
      countWrong(address);
    }
  }

  private void countWrong(String address) {
    Instant now = clock.instant();
    Wrong before = wrong.get(address);
    if (before != null && before.until() != null && now.isBefore(before.until())) {
      return;
    }
    Wrong counted =
        before != null && before.until() == null && now.isBefore(before.from().plus(MINUTE))
            ? new Wrong(before.from(), before.count() + 1, null)
            : new Wrong(now, 1, null);
    wrong.put(
        address,
        counted.count() < MOST_WRONG
            ? counted
            : new Wrong(counted.from(), counted.count(), now.plus(MINUTE)));
  }

  /** How long wrong tokens of an address are still braked; zero if they are not. */
  synchronized Duration brake(String address) {
    Wrong counted = wrong.get(address);
    Instant now = clock.instant();
    return counted == null || counted.until() == null || !now.isBefore(counted.until())
        ? Duration.ZERO
        : Duration.between(now, counted.until());
  }

  /**
   * Whether a token that a braked address shows is known to be unknown, so that it is not looked up
   * again. A text that no token has will not become one: texts are drawn from 256 random bits.
   */
  synchronized boolean skips(String sha256, String address) {
    return unknown.containsKey(sha256) && !brake(address).isZero();
  }

  /** Remembers a text that no token has. */
  synchronized void rememberUnknown(String sha256) {
    unknown.put(sha256, true);
  }

  /** Writes one line of what was refused since the last one, if anything was. */
  @Scheduled(fixedDelayString = "${tarebook.access-every}")
  synchronized void tell() {
    if (counts.isEmpty()) {
      return;
    }
    long all = counts.values().stream().mapToLong(Long::longValue).sum() + furtherSources;
    String most =
        counts.entrySet().stream()
            .sorted(Map.Entry.<Source, Long>comparingByValue(Comparator.reverseOrder()))
            .limit(MOST_LOGGED)
            .map(each -> each.getValue() + " " + each.getKey())
            .collect(Collectors.joining(", "));
    boolean more = counts.size() > MOST_LOGGED || furtherSources > 0;
    log.warn("Refused {} requests: {}{}", all, most, more ? ", and further ones" : "");
    counts.clear();
    furtherSources = 0;
  }

  private static <V> Map<String, V> bounded(int most) {
    return new LinkedHashMap<>(16, 0.75f, true) {
      @Override
      protected boolean removeEldestEntry(Map.Entry<String, V> eldest) {
        return size() > most;
      }
    };
  }
}
