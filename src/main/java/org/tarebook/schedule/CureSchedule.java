package org.tarebook.schedule;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Coded;

/** A cure that tyres are given, under a code; what it is stands in its revisions. */
@Entity
public class CureSchedule extends Coded {

  @Column(updatable = false)
  private @Nullable Long productId;

  /** For JPA. */
  protected CureSchedule() {}

  CureSchedule(String code, String name, @Nullable Long productId) {
    super(code, name);
    this.productId = productId;
  }

  /** The product it is for; absent where it serves several. */
  public @Nullable Long productId() {
    return productId;
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }
}
