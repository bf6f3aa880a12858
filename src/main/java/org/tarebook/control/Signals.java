package org.tarebook.control;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Chart;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** What ran out of control, and what was found and done. */
@Service
public class Signals {

  private final SignalStore store;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;

  Signals(SignalStore store, Transactions transactions, Audit audit, Ids ids, Clock clock) {
    this.store = store;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
  }

  /** A signal with the responses to it. */
  public record Answered(Signal signal, List<Response> responses) {
    /** Whether it stands and nobody has responded. */
    public boolean open() {
      return signal.stands() && responses.isEmpty();
    }
  }

  /** A response, and whether it was on record before. */
  record Done(Response response, boolean replayed) {}

  /**
   * The signals of a chart completed in a window that stand or stood, in order, with the responses
   * recorded by then.
   */
  public List<Answered> standing(ReadingWindow.Asked asked) {
    return answered(
            store.stoodAt(asked.chart().id(), asked.from(), asked.before(), asked.asOf().version()))
        .stream()
        .map(
            each ->
                new Answered(
                    each.signal(),
                    each.responses().stream()
                        .filter(response -> !response.recordedAt().isAfter(asked.asOf().moment()))
                        .toList()))
        .toList();
  }

  /**
   * How many points of a part of a window completed signals that stand or stood.
   *
   * @param points of which at least one signal was completed
   * @param open signals that stand and nobody had responded to
   * @param far how far out the points lay that completed one
   */
  public record Counts(long points, Open open, Far far) {
    /** No signal. */
    public static final Counts NONE = new Counts(0, Open.NONE, Far.NONE);

    /** Both together. */
    public Counts plus(Counts other) {
      return new Counts(points + other.points, open.plus(other.open), far.plus(other.far));
    }
  }

  /**
   * How far out the points lay that completed signals.
   *
   * @param sigmas the farthest from its centre, in its own sigmas; 0 without one
   * @param spread the largest spread beyond its limits, in centre lines of the spread of the
   *     planned size; 0 without one
   */
  public record Far(double sigmas, double spread) {
    /** None. */
    public static final Far NONE = new Far(0, 0);

    /**
     * Of one signal.
     *
     * @param rule the code of its rule
     * @param value the completing point, or its spread
     * @param readings of that point
     */
    public static Far of(String rule, double value, long readings, Limits limits, Chart.Cut cut) {
      if (rule.equals(Found.SPREAD_BEYOND_LIMITS)) {
        double centre = limits.spread().centre();
        return new Far(0, centre > 0 ? value / centre : 0);
      }
      double off = Math.abs(value - limits.points().centre()) / limits.sigmaOfPoint();
      return new Far(off * wider(cut, readings), 0);
    }

    /** Sigma of a point of the planned size over that of one of so many readings. */
    private static double wider(Chart.Cut cut, long readings) {
      return cut.kind() == Chart.Kind.BETWEEN_WITHIN
          ? 1
          : Math.sqrt((double) readings / cut.subgroupSize());
    }

    /** The farther of both. */
    public Far plus(Far other) {
      return new Far(Math.max(sigmas, other.sigmas), Math.max(spread, other.spread));
    }
  }

  /**
   * Signals that stand and nobody has responded to.
   *
   * @param since when the earliest was completed; absent without one
   */
  public record Open(long signals, @Nullable Instant since) {
    /** None. */
    public static final Open NONE = new Open(0, null);

    /** Both together. */
    public Open plus(Open other) {
      return new Open(
          signals + other.signals,
          Stream.of(Optional.ofNullable(since), Optional.ofNullable(other.since))
              .flatMap(Optional::stream)
              .min(Comparator.naturalOrder())
              .orElse(null));
    }
  }

  /**
   * Counts the signals that whole shifts of a chart completed, by stratum; strata without are left
   * out.
   */
  public Map<String, Counts> count(ReadingWindow.Asked asked) {
    return store.count(asked);
  }

  /** The open signals of some charts; charts without one are left out. */
  Map<Long, Open> open(Collection<Long> chartIds) {
    return store.open(chartIds);
  }

  Answered get(long id) {
    return answered(List.of(require(id))).get(0);
  }

  List<Answered> page(SignalStore.Filter filter, SignalStore.@Nullable Place behind, int limit) {
    return answered(store.page(filter, behind, limit));
  }

  /** Records what a person found and did. */
  Done respond(long signalId, String key, String cause, String action, Actor actor) {
    return transactions.write(
        () -> {
          Signal signal = require(signalId);
          Optional<Response> known = store.response(actor.name(), key);
          if (known.isPresent()) {
            requireSame(known.get(), signal.origin(), cause, action);
            return new Done(known.get(), true);
          }
          Response response =
              new Response(
                  ids.next(), signal.origin(), key, cause, action, actor.name(), clock.instant());
          store.insert(response);
          audit.record(actor, "recorded", "response", String.valueOf(response.id()), response);
          return new Done(response, false);
        });
  }

  private Signal require(long id) {
    return store.byId(id).orElseThrow(() -> Problem.notFound("signal", String.valueOf(id)));
  }

  private List<Answered> answered(List<Signal> signals) {
    Set<Long> origins = new HashSet<>();
    signals.forEach(signal -> origins.add(signal.origin()));
    Map<Long, List<Response>> responses =
        store.responses(origins).stream().collect(Collectors.groupingBy(Response::signalId));
    return signals.stream()
        .map(signal -> new Answered(signal, responses.getOrDefault(signal.origin(), List.of())))
        .toList();
  }

  private static void requireSame(Response stored, long origin, String cause, String action) {
    List<String> differences = new ArrayList<>();
    if (stored.signalId() != origin) {
      differences.add("signal");
    }
    if (!stored.cause().equals(cause)) {
      differences.add("cause");
    }
    if (!stored.action().equals(action)) {
      differences.add("action");
    }
    if (!differences.isEmpty()) {
      throw Problem.at(
          ProblemType.KEY_REUSED,
          "/key",
          "names response "
              + stored.id()
              + ", which differs in "
              + String.join(", ", differences)
              + "; give the new response a new key");
    }
  }
}
