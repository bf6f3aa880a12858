package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.CollectionTable;
import jakarta.persistence.Column;
import jakarta.persistence.ElementCollection;
import jakarta.persistence.Embeddable;
import jakarta.persistence.Entity;
import jakarta.persistence.FetchType;
import jakarta.persistence.JoinColumn;
import jakarta.persistence.OrderColumn;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How the plant's days are cut into shifts, from a date on, until the next calendar begins. The
 * first shift opens the plant's day; each runs until the next one starts, the last until the first
 * of the next day.
 */
@Entity
public class ShiftCalendar extends Coded {

  @Column(updatable = false)
  private LocalDate validFrom = LocalDate.EPOCH;

  @Column(updatable = false)
  private String zone = "UTC";

  @ElementCollection(fetch = FetchType.EAGER)
  @CollectionTable(
      name = "shift_calendar_shift",
      joinColumns = @JoinColumn(name = "shift_calendar_id"))
  @OrderColumn(name = "position")
  private List<Start> shifts = new ArrayList<>();

  @ElementCollection(fetch = FetchType.EAGER)
  @CollectionTable(
      name = "shift_calendar_standing",
      joinColumns = @JoinColumn(name = "shift_calendar_id"))
  @OrderColumn(name = "position")
  private List<Standing> standings = new ArrayList<>();

  /** For JPA. */
  protected ShiftCalendar() {}

  ShiftCalendar(String code, String name, LocalDate validFrom, ZoneId zone, List<Start> shifts) {
    super(code, name);
    this.validFrom = validFrom;
    this.zone = zone.getId();
    this.shifts.addAll(shifts);
  }

  /** The start of a shift on the clock of the plant's zone. */
  @Embeddable
  @Schema(
      name = "ShiftStart",
      description = "A shift of the day, by the clock of the calendar's zone.")
  public record Start(
      @Schema(description = "Name of the shift.") String name,
      @Schema(description = "Local time at which it starts; it ends when the next one starts.")
          LocalTime startsAt) {}

  /**
   * A time in which it was in use.
   *
   * @param since when its use began
   * @param until when its use ended; absent while it is in use
   */
  @Embeddable
  record Standing(Instant since, @Nullable Instant until) {
    boolean holds(Instant moment) {
      return !since.isAfter(moment) && (until == null || until.isAfter(moment));
    }
  }

  /** Whether it was in use at a moment. */
  boolean stoodAt(Instant moment) {
    return standings.stream().anyMatch(each -> each.holds(moment));
  }

  /** Whether it is in use; a retired one still is until what it cut has been cut again. */
  boolean inUse() {
    return !standings.isEmpty() && standings.get(standings.size() - 1).until() == null;
  }

  /** Whether its recording, retiring or reinstating is still to come into use. */
  public boolean changing() {
    return inUse() == retired();
  }

  /** The first plant day it holds for. */
  public LocalDate validFrom() {
    return validFrom;
  }

  /** The plant's zone. */
  public ZoneId zone() {
    return ZoneId.of(zone);
  }

  /** The shifts of a day in order. */
  public List<Start> shifts() {
    return List.copyOf(shifts);
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }

  /** Lets its use begin or end as it was recorded, retired or reinstated. */
  void settle(Instant at) {
    if (changing()) {
      if (retired()) {
        int last = standings.size() - 1;
        standings.set(last, new Standing(standings.get(last).since(), at));
      } else {
        standings.add(new Standing(at, null));
      }
    }
  }

  /** Whether shifts follow each other once round the clock, each with its own name and start. */
  static boolean inOrder(List<Start> starts) {
    int turns = 0;
    for (int i = 1; i < starts.size(); i++) {
      if (starts.get(i).startsAt().isBefore(starts.get(i - 1).startsAt())) {
        turns++;
      }
    }
    boolean backBeforeTheFirst =
        turns == 0
            || (turns == 1
                && starts.get(starts.size() - 1).startsAt().isBefore(starts.get(0).startsAt()));
    return backBeforeTheFirst
        && starts.stream().map(Start::name).distinct().count() == starts.size()
        && starts.stream().map(Start::startsAt).distinct().count() == starts.size();
  }
}
