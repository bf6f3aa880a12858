package org.tarebook.plant;

import jakarta.persistence.Column;
import jakarta.persistence.GeneratedValue;
import jakarta.persistence.GenerationType;
import jakarta.persistence.Id;
import jakarta.persistence.MappedSuperclass;
import jakarta.persistence.SequenceGenerator;
import jakarta.persistence.Version;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/** A thing of the plant that people call by a code. It is never deleted, only retired. */
@MappedSuperclass
public class Coded {

  @Id
  @GeneratedValue(strategy = GenerationType.SEQUENCE, generator = "master")
  @SequenceGenerator(name = "master", sequenceName = "master_seq", allocationSize = 50)
  private @Nullable Long id;

  @Column(updatable = false)
  private String code;

  private String name;
  private @Nullable Instant retiredAt;
  @Version private int rowVersion;

  /** For JPA. */
  protected Coded() {
    this("", "");
  }

  /** A thing that is in use. */
  protected Coded(String code, String name) {
    this.code = code;
    this.name = name;
  }

  /** Its id in the database. */
  public long id() {
    if (id == null) {
      throw new IllegalStateException(code + " is not stored yet");
    }
    return id;
  }

  /** The code people call it by; never changes and is never used again. */
  public String code() {
    return code;
  }

  /** What it is, in words. */
  public String name() {
    return name;
  }

  /** Since when it is no longer used; absent while it is. */
  public @Nullable Instant retiredAt() {
    return retiredAt;
  }

  /** Whether it is no longer used. */
  public boolean retired() {
    return retiredAt != null;
  }

  /** How often it was changed; the ETag. */
  public int rowVersion() {
    return rowVersion;
  }

  /** Gives it another name. */
  protected void rename(String newName) {
    name = newName;
  }

  /** Takes it out of use at a moment, or back into use; a moment already noted stays. */
  protected void retire(boolean retire, Instant now) {
    if (!retire) {
      retiredAt = null;
    } else if (retiredAt == null) {
      retiredAt = now;
    }
  }
}
