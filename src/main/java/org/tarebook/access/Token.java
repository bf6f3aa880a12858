package org.tarebook.access;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import jakarta.persistence.GeneratedValue;
import jakarta.persistence.GenerationType;
import jakarta.persistence.Id;
import jakarta.persistence.SequenceGenerator;
import jakarta.persistence.Table;
import jakarta.persistence.Version;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.audit.Actor;

/**
 * A permission given to a station, a person or a system until it expires or is revoked. What its
 * holder shows is never kept, only the SHA-256 of it.
 */
@Entity
@Table(name = "access_token")
public class Token {

  @Id
  @GeneratedValue(strategy = GenerationType.SEQUENCE, generator = "access_token")
  @SequenceGenerator(name = "access_token", sequenceName = "master_seq", allocationSize = 50)
  private @Nullable Long id;

  @Column(updatable = false)
  private String name;

  @Column(updatable = false)
  @Enumerated(EnumType.STRING)
  private Actor.Kind kind;

  @Column(updatable = false)
  @Enumerated(EnumType.STRING)
  private Role role;

  @Column(updatable = false)
  private @Nullable Long stationId;

  @Column(updatable = false)
  private String sha256;

  @Column(updatable = false)
  private Instant createdAt;

  @Column(updatable = false)
  private String createdBy;

  @Column(updatable = false)
  private Instant expiresAt;

  private @Nullable Instant revokedAt;
  private @Nullable String revokedBy;

  @Column(insertable = false, updatable = false)
  private @Nullable Instant lastUsedAt;

  @Version private int rowVersion;

  /** For JPA. */
  protected Token() {
    this(new Holder("", Actor.Kind.SYSTEM, Role.READER, null), "", Instant.EPOCH, "", Instant.MAX);
  }

  Token(Holder holder, String sha256, Instant createdAt, String createdBy, Instant expiresAt) {
    this.name = holder.name();
    this.kind = holder.kind();
    this.role = holder.role();
    this.stationId = holder.stationId();
    this.sha256 = sha256;
    this.createdAt = createdAt;
    this.createdBy = createdBy;
    this.expiresAt = expiresAt;
  }

  /**
   * Whom a token is for.
   *
   * @param name the name that every record will carry, 1 to 80 characters
   * @param kind a station, a person or a system
   * @param role what it may do
   * @param stationId the station, for a station; absent otherwise
   */
  public record Holder(String name, Actor.Kind kind, Role role, @Nullable Long stationId) {}

  /** Its number, by which it is listed and revoked. */
  public long id() {
    if (id == null) {
      throw new IllegalStateException("The token for " + name + " is not stored yet");
    }
    return id;
  }

  /** Whom it is for. */
  public Holder holder() {
    return new Holder(name, kind, role, stationId);
  }

  /** When it was made. */
  public Instant createdAt() {
    return createdAt;
  }

  /** Who made it. */
  public String createdBy() {
    return createdBy;
  }

  /** The moment from which it is no longer taken. */
  public Instant expiresAt() {
    return expiresAt;
  }

  /** When it was revoked; absent while it is not. */
  public @Nullable Instant revokedAt() {
    return revokedAt;
  }

  /** Who revoked it. */
  public @Nullable String revokedBy() {
    return revokedBy;
  }

  /** The last minute in which it was taken, as far as it is stored; absent if it was not. */
  public @Nullable Instant lastUsedAt() {
    return lastUsedAt;
  }

  /** Takes it back. The first revocation stands. */
  void revoke(Actor actor, Instant now) {
    if (revokedAt == null) {
      revokedAt = now;
      revokedBy = actor.name();
    }
  }
}
