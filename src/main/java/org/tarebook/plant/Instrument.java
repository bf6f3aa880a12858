package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.CollectionTable;
import jakarta.persistence.Column;
import jakarta.persistence.ElementCollection;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import jakarta.persistence.FetchType;
import jakarta.persistence.JoinColumn;
import jakarta.persistence.OrderColumn;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.hibernate.annotations.Fetch;
import org.hibernate.annotations.FetchMode;
import org.hibernate.annotations.ListIndexBase;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;

/**
 * What measures at a station. Station, kind and unit never change: one that is moved is recorded as
 * a new one, so that its checks keep their meaning. What it can show stands in revisions.
 */
@Entity
public class Instrument extends Coded {

  @Column(updatable = false)
  private long stationId;

  @Enumerated(EnumType.STRING)
  @Column(updatable = false)
  private Kind kind = Kind.TESTER;

  @Column(updatable = false)
  private String unit = "1";

  @ElementCollection(fetch = FetchType.EAGER)
  @Fetch(FetchMode.SUBSELECT)
  @CollectionTable(name = "instrument_revision", joinColumns = @JoinColumn(name = "instrument_id"))
  @OrderColumn(name = "revision")
  @ListIndexBase(1)
  private List<InstrumentRevision> revisions = new ArrayList<>();

  /** Kinds of instruments. */
  @Schema(name = "InstrumentKind", description = "A kind of instrument.")
  public enum Kind {
    @Schema(description = "A scale.")
    SCALE,
    @Schema(description = "A gauge for lengths and thicknesses.")
    GAUGE,
    @Schema(description = "A length encoder.")
    LENGTH_ENCODER,
    @Schema(description = "A thermocouple.")
    THERMOCOUPLE,
    @Schema(description = "A pressure gauge.")
    PRESSURE_GAUGE,
    @Schema(description = "A testing machine.")
    TESTER,
    @Schema(description = "A counter.")
    COUNTER
  }

  /** For JPA. */
  protected Instrument() {}

  Instrument(
      String code,
      String name,
      long stationId,
      Kind kind,
      Unit unit,
      InstrumentRevision recordedWith) {
    super(code, name);
    this.stationId = stationId;
    this.kind = kind;
    this.unit = unit.code();
    revisions.add(recordedWith);
  }

  /** The station it hangs at. */
  public long stationId() {
    return stationId;
  }

  /** What it is. */
  public Kind kind() {
    return kind;
  }

  /** The unit it shows. */
  public Unit unit() {
    return Unit.of(unit);
  }

  /** What it can show, revision by revision, in the order they were recorded. */
  public List<InstrumentRevision> revisions() {
    return List.copyOf(revisions);
  }

  /**
   * What it could show at a moment: of the revisions that had begun, the one that began last, and
   * of these the one recorded last.
   *
   * @param known the last moment at which a revision counts that was recorded then
   */
  public InstrumentRevision.Scale scale(Instant moment, Instant known) {
    List<InstrumentRevision> recorded = new ArrayList<>();
    for (int i = 0; i < revisions.size(); i++) {
      if (i == 0 || !revisions.get(i).recordedAt().isAfter(known)) {
        recorded.add(revisions.get(i));
      }
    }
    return inForce(recorded, moment);
  }

  /** The same by the first revisions only, which are counted from 1. */
  InstrumentRevision.Scale scale(Instant moment, int revision) {
    return inForce(revisions.subList(0, revision), moment);
  }

  private static InstrumentRevision.Scale inForce(List<InstrumentRevision> of, Instant moment) {
    InstrumentRevision found = null;
    for (InstrumentRevision each : of) {
      if (!each.validFrom().isAfter(moment)
          && (found == null || !each.validFrom().isBefore(found.validFrom()))) {
        found = each;
      }
    }
    return found == null ? InstrumentRevision.Scale.UNKNOWN : found.scale();
  }

  /** What it could show at a moment, as is known now. */
  public InstrumentRevision.Scale scale(Instant moment) {
    return scale(moment, Instant.MAX);
  }

  /** The first moment after another at which a revision begins; absent where none does. */
  public @Nullable Instant nextChange(Instant after) {
    return revisions.stream()
        .map(InstrumentRevision::validFrom)
        .filter(start -> start.isAfter(after))
        .min(Instant::compareTo)
        .orElse(null);
  }

  /** Whether a revision was recorded after a moment; the first one does not matter. */
  public boolean revisedAfter(Instant moment) {
    return revisions.size() > 1 && revisions.get(revisions.size() - 1).recordedAt().isAfter(moment);
  }

  void revise(InstrumentRevision revision) {
    revisions.add(revision);
  }

  /** Adds to the last revision what it came to, in the transaction that recorded it. */
  void judgedAgain(long readings) {
    int last = revisions.size() - 1;
    revisions.set(last, revisions.get(last).withJudgedAgain(readings));
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }
}
