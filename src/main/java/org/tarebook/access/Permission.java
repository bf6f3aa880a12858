package org.tarebook.access;

import java.util.Arrays;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Set;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.security.authorization.AuthorizationManager;
import org.springframework.security.authorization.AuthorizationResult;
import org.springframework.security.core.Authentication;
import org.springframework.security.web.access.intercept.RequestAuthorizationContext;
import org.tarebook.audit.Actor;

/**
 * One cell of the table of permissions: who may do it.
 *
 * @param roles the roles that may; none where it is open to everybody
 * @param person whether it must be a person with their own token
 */
record Permission(Set<Role> roles, boolean person)
    implements AuthorizationManager<RequestAuthorizationContext> {

  /** Everybody, with a token or without. */
  static final Permission OPEN = new Permission(EnumSet.noneOf(Role.class), false);

  /** Whoever holds a token with one of these roles. */
  static Permission of(Role... roles) {
    return new Permission(EnumSet.copyOf(Arrays.asList(roles)), false);
  }

  /** A person with their own token and one of these roles. */
  static Permission ofPerson(Role... roles) {
    return new Permission(EnumSet.copyOf(Arrays.asList(roles)), true);
  }

  @Override
  public AuthorizationResult authorize(
      Supplier<? extends @Nullable Authentication> asking, RequestAuthorizationContext context) {
    if (open()) {
      return new Decision(true, "");
    }
    Authentication authentication = asking.get();
    if (authentication == null || !(authentication.getPrincipal() instanceof Tokens.Shown shown)) {
      return new Decision(false, "A token is needed.");
    }
    boolean granted =
        roles.contains(shown.role()) && (!person || shown.actor().kind() == Actor.Kind.PERSON);
    return new Decision(granted, granted ? "" : words(shown));
  }

  /** Whether it needs no token. */
  boolean open() {
    return roles.isEmpty();
  }

  private String words(Tokens.Shown shown) {
    return "This needs "
        + (person ? "a person's own token with the role " : "a token with the role ")
        + roles.stream().map(Role::name).collect(Collectors.joining(" or "))
        + "; the token of "
        + shown.actor().name()
        + " is a "
        + shown.actor().kind().name().toLowerCase(Locale.ROOT)
        + "'s with the role "
        + shown.role()
        + ".";
  }

  /**
   * Whether it is granted.
   *
   * @param words why not
   */
  record Decision(boolean granted, String words) implements AuthorizationResult {
    @Override
    public boolean isGranted() {
      return granted;
    }
  }
}
