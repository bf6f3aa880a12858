package org.tarebook.capability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.control.NotComputed;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.segment.SegmentedWindows;
import org.tarebook.spec.Characteristic;
import org.tarebook.stats.Estimator;

/**
 * Studies each stream of a window by itself, with the figures that the same study of this stratum
 * alone gives. A mixture of streams, each in control about its own mean, has no capability.
 */
record Streams(
    SegmentedWindows segmented,
    Stability stability,
    Plan plan,
    Studies.Question question,
    double confidence,
    Characteristic characteristic,
    StudyLimits tolerance) {

  /** A chart with more streams than this is asked for one stream at a time. */
  static final int MOST = 200;

  /**
   * Studies the streams; none where there are more than {@link #MOST}.
   *
   * @param evidence what limits in force found in the window; absent where that failed
   * @param failed what of the window failed; too many streams are added
   */
  List<Study.Stream> of(
      SummarisedWindow window,
      @Nullable Evidence evidence,
      Estimator estimator,
      List<NotComputed> failed) {
    int many = window.strata().size();
    if (many > MOST) {
      failed.add(
          new NotComputed(
              "streams",
              NotComputed.Reason.TOO_MANY,
              "The window has %d streams, more than %d; ask for one with stratum, or for a shorter window."
                  .formatted(many, MOST)));
      return List.of();
    }
    List<Study.Stream> streams = new ArrayList<>();
    window
        .byStratum()
        .forEach(
            (stratum, own) -> {
              boolean byItself = evidence != null && !evidence.judges(stratum);
              SummarisedWindow stream = byItself ? segmented.withLatest(plan, own) : own;
              streams.add(study(stream, evidence, estimator, failed));
            });
    return streams;
  }

  private Study.Stream study(
      SummarisedWindow stream,
      @Nullable Evidence evidence,
      Estimator estimator,
      List<NotComputed> failed) {
    List<NotComputed> missing = new ArrayList<>(failed);
    Figures figures =
        new Figures(
                question,
                confidence,
                characteristic,
                stream,
                stream.within(estimator),
                tolerance,
                stability.judge(stream, evidence, estimator, missing),
                false,
                missing)
            .computeWithin();
    return new Study.Stream(
        Objects.requireNonNull(stream.stratum()),
        stream.summary().readings(),
        stream.points(),
        figures.mean(),
        figures.sigmaWithin(),
        figures.sigmaTotal(),
        figures.control(),
        figures.shownAlthoughNotInControl(),
        figures.within().potential(),
        figures.within().minimum(),
        figures.within().upper(),
        figures.within().lower(),
        figures.missing());
  }

  /** Why the worst stream is absent: the first stream without a cpk. */
  static Optional<NotComputed> withoutCpk(List<Study.Stream> streams) {
    return streams.stream()
        .filter(stream -> stream.cpk() == null)
        .findFirst()
        .map(
            stream -> {
              Optional<NotComputed> why =
                  stream.notComputed().stream()
                      .filter(one -> one.figure().equals("cpk"))
                      .findFirst();
              return new NotComputed(
                  "worstStream",
                  why.map(NotComputed::reason).orElse(NotComputed.Reason.TOO_FEW),
                  "Stream %s has no cpk, so none can be called the worst."
                      .formatted(stream.stratum()));
            });
  }

  /** The stream with the least cpk; absent where one has none. */
  static @Nullable String worst(List<Study.Stream> streams) {
    Map<String, Double> indices = new TreeMap<>();
    for (Study.Stream each : streams) {
      Study.Index index = each.cpk();
      if (index == null) {
        return null;
      }
      indices.put(each.stratum(), index.value());
    }
    return indices.entrySet().stream()
        .min(Comparator.comparingDouble(Map.Entry::getValue))
        .map(Map.Entry::getKey)
        .orElse(null);
  }
}
