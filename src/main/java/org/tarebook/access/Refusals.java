package org.tarebook.access;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.time.Duration;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.http.HttpHeaders;
import org.springframework.security.access.AccessDeniedException;
import org.springframework.security.authorization.AuthorizationDeniedException;
import org.springframework.security.core.AuthenticationException;
import org.springframework.security.web.AuthenticationEntryPoint;
import org.springframework.security.web.access.AccessDeniedHandler;
import org.springframework.security.web.firewall.RequestRejectedException;
import org.springframework.security.web.firewall.RequestRejectedHandler;
import org.springframework.stereotype.Component;
import org.springframework.web.servlet.HandlerExceptionResolver;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/**
 * Answers what is refused before it reaches a controller, through the same resolver that answers
 * for controllers, so that every refusal has one form.
 */
@Component
class Refusals implements AuthenticationEntryPoint, AccessDeniedHandler, RequestRejectedHandler {

  private final HandlerExceptionResolver resolver;

  private final RefusedRequests refused;

  Refusals(
      @Qualifier("handlerExceptionResolver") HandlerExceptionResolver resolver,
      RefusedRequests refused) {
    this.resolver = resolver;
    this.refused = refused;
  }

  /** No token, or none that is taken. */
  @Override
  public void commence(
      HttpServletRequest request, HttpServletResponse response, AuthenticationException missing) {
    boolean wrong = BearerFilter.seen(request) != null;
    Duration brake = wrong ? refused.brake(request.getRemoteAddr()) : Duration.ZERO;
    if (!brake.isZero()) {
      response.setHeader(HttpHeaders.RETRY_AFTER, Long.toString(brake.toSeconds() + 1));
      answer(
          request,
          response,
          new Problem(
              ProblemType.TOO_MANY_REQUESTS,
              "This address has shown "
                  + RefusedRequests.MOST_WRONG
                  + " wrong tokens within a minute, and this token is wrong too. Ask an"
                  + " administrator for a new one. Valid tokens are taken meanwhile."));
      return;
    }
    response.setHeader(HttpHeaders.WWW_AUTHENTICATE, "Bearer");
    answer(
        request,
        response,
        new Problem(
            ProblemType.NO_TOKEN,
            wrong
                ? "The token is unknown, expired or revoked. Ask an administrator for a new one."
                : "The request has no token. Send the header Authorization: Bearer and your"
                    + " token."));
  }

  /** A token that is taken, but not for this. */
  @Override
  public void handle(
      HttpServletRequest request, HttpServletResponse response, AccessDeniedException denied) {
    String words =
        denied instanceof AuthorizationDeniedException known
                && known.getAuthorizationResult() instanceof Permission.Decision decision
            ? decision.words()
            : "Nobody may do that here.";
    answer(request, response, new Problem(ProblemType.NOT_ALLOWED, words));
  }

  /** An address or header that no client sends in good faith, or in error. */
  @Override
  public void handle(
      HttpServletRequest request, HttpServletResponse response, RequestRejectedException rejected) {
    answer(
        request,
        response,
        new Problem(
            ProblemType.INVALID_REQUEST,
            "The address, the method or a header holds characters that are not taken: doubled or"
                + " encoded slashes, semicolons, backslashes, control characters."));
  }

  /** Answers any failure as controllers' failures are answered. */
  void answer(HttpServletRequest request, HttpServletResponse response, Exception failure) {
    if (resolver.resolveException(request, response, null, failure) == null) {
      throw new IllegalStateException("Nothing answers this failure", failure);
    }
  }
}
