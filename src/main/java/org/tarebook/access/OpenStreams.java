package org.tarebook.access;

import jakarta.servlet.AsyncContext;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Collectors;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.dao.DataAccessException;
import org.springframework.http.MediaType;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;
import org.springframework.transaction.TransactionException;
import org.springframework.web.servlet.AsyncHandlerInterceptor;
import org.springframework.web.servlet.config.annotation.InterceptorRegistry;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;

/**
 * Streams of events end with the token that they were opened with: the tokens are looked up again
 * every few seconds. Other answers that stay open, such as a backup, are written to their end.
 */
@Component
class OpenStreams implements AsyncHandlerInterceptor, WebMvcConfigurer {

  private static final Logger log = LoggerFactory.getLogger(OpenStreams.class);

  private final Tokens tokens;
  private final Map<AsyncContext, String> open = new ConcurrentHashMap<>();

  OpenStreams(Tokens tokens) {
    this.tokens = tokens;
  }

  @Override
  public void addInterceptors(InterceptorRegistry registry) {
    registry.addInterceptor(this);
  }

  @Override
  public void afterConcurrentHandlingStarted(
      HttpServletRequest request, HttpServletResponse response, Object handler) {
    String text = BearerFilter.text(request);
    String form = response.getContentType();
    if (text != null
        && form != null
        && form.startsWith(MediaType.TEXT_EVENT_STREAM_VALUE)
        && request.isAsyncStarted()) {
      open.put(request.getAsyncContext(), text);
    }
  }

  /** Ends what was opened with a token that is expired or revoked now. */
  @Scheduled(fixedDelayString = "${tarebook.tokens-every}")
  void end() {
    Map<String, List<AsyncContext>> byToken =
        open.entrySet().stream()
            .filter(one -> stillOpen(one.getKey()))
            .collect(
                Collectors.groupingBy(
                    Map.Entry::getValue,
                    Collectors.mapping(Map.Entry::getKey, Collectors.toList())));
    byToken.forEach(
        (text, streams) -> {
          if (!taken(text)) {
            streams.forEach(this::end);
          }
        });
  }

  private boolean stillOpen(AsyncContext stream) {
    try {
      if (stream.getRequest().isAsyncStarted()) {
        return true;
      }
    } catch (IllegalStateException over) {
      // the request is used for another one, or none
    }
    open.remove(stream);
    return false;
  }

  private boolean taken(String text) {
    try {
      return tokens.find(text).isPresent();
    } catch (DataAccessException | TransactionException away) {
      log.debug("The database did not answer; open streams stay", away);
      return true;
    }
  }

  private void end(AsyncContext stream) {
    open.remove(stream);
    try {
      stream.complete();
    } catch (IllegalStateException over) {
      log.debug("A stream ended by itself", over);
    }
  }
}
