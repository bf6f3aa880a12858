package org.tarebook.plant;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import java.time.Instant;

/** One measuring place on a line. It stays on its line; a station that moves is a new one. */
@Entity
public class Station extends Coded {

  @Column(updatable = false)
  private long lineId;

  /** For JPA. */
  protected Station() {}

  Station(String code, String name, long lineId) {
    super(code, name);
    this.lineId = lineId;
  }

  /** The line it stands on. */
  public long lineId() {
    return lineId;
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }
}
