package org.tarebook.cure;

import jakarta.annotation.PreDestroy;
import java.io.IOException;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;
import org.springframework.web.servlet.mvc.method.annotation.SseEmitter;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.Outages;

/**
 * Pushes how loads stand to whoever listens: once a second the version of each load that is
 * listened to is looked at, whichever copy of the service took its samples, and a new one is told.
 * A listener that does not read holds up nobody but itself.
 */
@Component
class LiveStreams {

  private static final int MOST = 200;
  private static final int MOST_OF_ONE = 20;
  private static final int SENDERS = 4;
  private static final int QUIET_ROUNDS = 15;

  private final CureStore cures;
  private final LiveCures live;
  private final Verdicts verdicts;
  private final CureViews views;
  private final Outages outages;
  private final Set<Listener> listeners = ConcurrentHashMap.newKeySet();
  private final ExecutorService senders =
      Executors.newFixedThreadPool(
          SENDERS,
          work -> {
            Thread thread = new Thread(work, "live-cures");
            thread.setDaemon(true);
            return thread;
          });

  LiveStreams(
      CureStore cures, LiveCures live, Verdicts verdicts, CureViews views, Outages outages) {
    this.outages = outages;
    this.cures = cures;
    this.live = live;
    this.verdicts = verdicts;
    this.views = views;
  }

  private static final class Listener {
    private final long cureId;
    private final String name;
    private final SseEmitter emitter = new SseEmitter(0L);
    private final AtomicBoolean busy = new AtomicBoolean();
    private long told = -1;
    private int quiet;

    Listener(long cureId, String name) {
      this.cureId = cureId;
      this.name = name;
    }
  }

  /** How a load stands at a version, with the verdict once it is closed. */
  private record News(long version, Object live, CureViews.@Nullable VerdictView verdict) {}

  /** Opens a stream that begins with how the load stands now. */
  synchronized SseEmitter open(long cureId, Actor actor) {
    if (listeners.size() >= MOST) {
      throw new Problem(
          ProblemType.UNAVAILABLE,
          MOST + " listeners are open already; read the address without a stream, or try later.");
    }
    if (listeners.stream().filter(one -> one.name.equals(actor.name())).count() >= MOST_OF_ONE) {
      throw new Problem(
          ProblemType.UNAVAILABLE,
          actor.name()
              + " has "
              + MOST_OF_ONE
              + " streams open, the most for one name; close one, or read the address without a"
              + " stream.");
    }
    Listener listener = new Listener(cureId, actor.name());
    listener.emitter.onCompletion(() -> listeners.remove(listener));
    listener.emitter.onTimeout(() -> listeners.remove(listener));
    listener.emitter.onError(failure -> listeners.remove(listener));
    listeners.add(listener);
    return listener.emitter;
  }

  /** Looks at every load that is listened to. */
  @Scheduled(fixedDelayString = "${tarebook.live-every}")
  void look() {
    listeners.stream()
        .filter(listener -> listener.busy.compareAndSet(false, true))
        .collect(Collectors.groupingBy(listener -> listener.cureId))
        .forEach((cureId, waiting) -> senders.execute(() -> look(cureId, waiting)));
  }

  /** Looks once at a load for all who wait for it; each is told in its own turn. */
  private void look(long cureId, List<Listener> waiting) {
    try {
      long version = cures.version(cureId);
      if (waiting.stream().allMatch(listener -> listener.told == version)) {
        waiting.forEach(listener -> senders.execute(() -> tell(listener, null)));
        return;
      }
      Cure cure = cures.require(cureId);
      News news =
          new News(
              cure.version(),
              live.of(cure),
              cure.open() ? null : views.of(verdicts.last(cureId), false));
      waiting.forEach(listener -> senders.execute(() -> tell(listener, news)));
    } catch (RuntimeException failure) {
      if (outages.note(failure).isPresent()) {
        waiting.forEach(listener -> listener.busy.set(false)); // the next round looks again
        return;
      }
      waiting.forEach(
          listener -> {
            listeners.remove(listener);
            listener.emitter.completeWithError(failure);
          });
    }
  }

  private void tell(Listener listener, @Nullable News news) {
    try {
      if (news == null || news.version() == listener.told) {
        if (++listener.quiet % QUIET_ROUNDS == 0) {
          listener.emitter.send(SseEmitter.event().comment("nothing new"));
        }
        return;
      }
      listener.told = news.version();
      listener.emitter.send(SseEmitter.event().name("live").data(news.live()));
      if (news.verdict() != null) {
        listener.emitter.send(SseEmitter.event().name("verdict").data(news.verdict()));
        listener.emitter.complete();
      }
    } catch (IOException gone) {
      listeners.remove(listener);
    } catch (RuntimeException failure) {
      listeners.remove(listener);
      listener.emitter.completeWithError(failure);
    } finally {
      listener.busy.set(false);
    }
  }

  @PreDestroy
  void stop() {
    listeners.forEach(listener -> listener.emitter.complete());
    senders.shutdownNow();
  }
}
