package org.tarebook.plant;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import java.math.BigDecimal;
import java.time.Instant;

/** One press or vulcaniser with its cavities. It stays at the station that logs it. */
@Entity
public class Press extends Coded {

  @Column(updatable = false)
  private long stationId;

  @Column(updatable = false)
  private int cavities;

  private BigDecimal altitude = BigDecimal.ZERO;

  /** For JPA. */
  protected Press() {}

  Press(String code, String name, long stationId, int cavities, BigDecimal altitude) {
    super(code, name);
    this.stationId = stationId;
    this.cavities = cavities;
    this.altitude = altitude;
  }

  /** The station whose controller logs its cures. */
  public long stationId() {
    return stationId;
  }

  /** How many tyres a load holds; cavities are called 1, 2, 3 and on. */
  public int cavities() {
    return cavities;
  }

  /** Height above sea level in metres, which gives the barometer where nobody read it. */
  public BigDecimal altitude() {
    return altitude;
  }

  void change(String name, BigDecimal altitude, boolean retired, Instant now) {
    rename(name);
    this.altitude = altitude;
    retire(retired, now);
  }
}
