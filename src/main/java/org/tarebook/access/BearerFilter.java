package org.tarebook.access;

import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.util.Enumeration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.dao.DataAccessException;
import org.springframework.http.HttpHeaders;
import org.springframework.security.authentication.UsernamePasswordAuthenticationToken;
import org.springframework.security.core.authority.SimpleGrantedAuthority;
import org.springframework.security.core.context.SecurityContext;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.transaction.TransactionException;
import org.springframework.web.filter.OncePerRequestFilter;

/**
 * Finds out who asks, from {@code Authorization: Bearer}. A token that is not taken counts as none,
 * so that what is open to everybody stays open; the table of permissions refuses the rest. What was
 * refused, here or by a feature, is noted when the answer is ready.
 */
final class BearerFilter extends OncePerRequestFilter {

  private static final String SCHEME = "Bearer ";

  private static final String SEEN = BearerFilter.class.getName() + ".seen";
  private static final int TOO_MANY = 429;

  private final Tokens tokens;
  private final LastUse lastUse;
  private final Refusals refusals;
  private final RefusedRequests refused;

  BearerFilter(Tokens tokens, LastUse lastUse, Refusals refusals, RefusedRequests refused) {
    this.tokens = tokens;
    this.lastUse = lastUse;
    this.refusals = refusals;
    this.refused = refused;
  }

  @Override
  protected void doFilterInternal(
      HttpServletRequest request, HttpServletResponse response, FilterChain chain)
      throws ServletException, IOException {
    String text = text(request);
    Tokens.Seen seen = null;
    if (text != null) {
      try {
        seen = see(Secret.sha256(text), request.getRemoteAddr());
      } catch (RuntimeException failure) {
        refusals.answer(request, response, failure);
        return;
      }
      request.setAttribute(SEEN, seen);
      if (seen.shown() != null) {
        lastUse.note(seen.shown().token());
        enter(seen.shown());
      }
    }
    try {
      chain.doFilter(request, response);
    } catch (DataAccessException | TransactionException failure) {
      if (response.isCommitted()) {
        throw failure;
      }
      refusals.answer(request, response, failure); // the table of permissions asks the record too
    }
    note(request, response, seen);
  }

  private Tokens.Seen see(String sha256, String address) {
    if (refused.skips(sha256, address)) {
      return Tokens.Seen.UNKNOWN;
    }
    Tokens.Seen seen = tokens.see(sha256);
    if (seen.token() == null) {
      refused.rememberUnknown(sha256);
    }
    return seen;
  }

  private void note(
      HttpServletRequest request, HttpServletResponse response, Tokens.@Nullable Seen seen) {
    String address = request.getRemoteAddr();
    switch (response.getStatus()) {
      case HttpServletResponse.SC_UNAUTHORIZED, TOO_MANY -> {
        RefusedRequests.Reason reason = seen == null ? null : seen.refused();
        if (seen == null || reason != null) {
          refused.note(
              reason == null ? RefusedRequests.Reason.NO_TOKEN : reason,
              seen == null ? null : seen.token(),
              address);
        }
      }
      case HttpServletResponse.SC_FORBIDDEN ->
          refused.note(
              RefusedRequests.Reason.NOT_ALLOWED, seen == null ? null : seen.token(), address);
      default -> {}
    }
  }

  /** What was found of the token that a request shows; absent if it shows none. */
  static Tokens.@Nullable Seen seen(HttpServletRequest request) {
    return (Tokens.Seen) request.getAttribute(SEEN);
  }

  /** What the request shows as its token; absent if nothing, or more than one. */
  static @Nullable String text(HttpServletRequest request) {
    Enumeration<String> headers = request.getHeaders(HttpHeaders.AUTHORIZATION);
    String header = headers.hasMoreElements() ? headers.nextElement() : null;
    return header != null
            && !headers.hasMoreElements()
            && header.regionMatches(true, 0, SCHEME, 0, SCHEME.length())
        ? header.substring(SCHEME.length()).strip()
        : null;
  }

  private static void enter(Tokens.Shown shown) {
    SecurityContext context = SecurityContextHolder.createEmptyContext();
    context.setAuthentication(
        UsernamePasswordAuthenticationToken.authenticated(
            shown, null, List.of(new SimpleGrantedAuthority(shown.role().name()))));
    SecurityContextHolder.setContext(context);
  }
}
