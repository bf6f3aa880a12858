package org.tarebook.access;

import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.security.authentication.UsernamePasswordAuthenticationToken;
import org.springframework.security.core.authority.SimpleGrantedAuthority;
import org.springframework.security.core.context.SecurityContext;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.web.filter.OncePerRequestFilter;

/**
 * Finds out who asks, from {@code Authorization: Bearer}. A token that is not taken counts as none,
 * so that what is open to everybody stays open; the table of permissions refuses the rest.
 */
final class BearerFilter extends OncePerRequestFilter {

  private static final String SCHEME = "Bearer ";

  private final Tokens tokens;
  private final Refusals refusals;

  BearerFilter(Tokens tokens, Refusals refusals) {
    this.tokens = tokens;
    this.refusals = refusals;
  }

  @Override
  protected void doFilterInternal(
      HttpServletRequest request, HttpServletResponse response, FilterChain chain)
      throws ServletException, IOException {
    String text = text(request);
    if (text != null) {
      Optional<Tokens.Shown> shown;
      try {
        shown = tokens.find(text);
      } catch (RuntimeException failure) {
        refusals.answer(request, response, failure);
        return;
      }
      shown.ifPresent(BearerFilter::enter);
    }
    chain.doFilter(request, response);
  }

  /** What the request shows as its token; absent if nothing. */
  static @Nullable String text(HttpServletRequest request) {
    String header = request.getHeader(HttpHeaders.AUTHORIZATION);
    return header != null && header.regionMatches(true, 0, SCHEME, 0, SCHEME.length())
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
