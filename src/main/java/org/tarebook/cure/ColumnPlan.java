package org.tarebook.cure;

import jakarta.persistence.Entity;
import java.time.Instant;
import org.tarebook.plant.Coded;

/** How one kind of recorder writes its CSV, under a code. */
@Entity
public class ColumnPlan extends Coded {

  private String definition = "";

  /** For JPA. */
  protected ColumnPlan() {}

  ColumnPlan(String code, String name, String definition) {
    super(code, name);
    this.definition = definition;
  }

  /** Columns and times, as JSON. */
  String definitionText() {
    return definition;
  }

  void change(String name, String definition, boolean retired, Instant now) {
    rename(name);
    this.definition = definition;
    retire(retired, now);
  }
}
