package org.tarebook.storage;

import com.zaxxer.hikari.HikariDataSource;
import jakarta.persistence.EntityManagerFactory;
import java.util.Optional;
import javax.sql.DataSource;
import org.springframework.beans.factory.config.BeanFactoryPostProcessor;
import org.springframework.beans.factory.config.BeanPostProcessor;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.flyway.autoconfigure.FlywayMigrationStrategy;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.core.env.Environment;
import org.springframework.orm.jpa.JpaTransactionManager;

/**
 * The one transaction manager, shared by JPA and JDBC, with durability on the embedded database.
 */
@Configuration(proxyBeanMethods = false)
class StorageConfiguration {

  /**
   * Keeps PostgreSQL from compiling statements: those of reports are estimated high and run a part
   * of a second, and compiling one of them took four times as long as running it.
   */
  @Bean
  static BeanPostProcessor withoutCompiling() {
    return new BeanPostProcessor() {
      @Override
      public Object postProcessBeforeInitialization(Object bean, String name) {
        if (bean instanceof HikariDataSource pool
            && pool.getConnectionInitSql() == null
            && String.valueOf(pool.getJdbcUrl()).startsWith("jdbc:postgresql:")) {
          pool.setConnectionInitSql("set jit = off");
        }
        return bean;
      }
    };
  }

  /** Makes the file of the embedded database private, before anything opens it. */
  @Bean
  static BeanFactoryPostProcessor privateDatabase(Environment environment) {
    return beans -> {
      String url = environment.getRequiredProperty("spring.datasource.url");
      if (Vendor.ofUrl(url) == Vendor.H2) {
        EmbeddedFile.of(url).ifPresent(EmbeddedFile::prepare);
      }
    };
  }

  /** How the service migrates; commands migrate nothing. */
  @Bean
  @ConditionalOnWebApplication
  static FlywayMigrationStrategy migrations(Environment environment) {
    Optional<EmbeddedFile> file =
        EmbeddedFile.of(environment.getRequiredProperty("spring.datasource.url"));
    return flyway -> file.ifPresentOrElse(its -> its.migrate(flyway), flyway::migrate);
  }

  /** Read from the address: no connection of the pool may open before migrations have ended. */
  @Bean
  Vendor vendor(JdbcConnectionDetails database) {
    return Vendor.ofUrl(database.getJdbcUrl());
  }

  @Bean
  JpaTransactionManager transactionManager(
      EntityManagerFactory factory, DataSource dataSource, Vendor vendor) {
    JpaTransactionManager manager = new JpaTransactionManager(factory);
    manager.setDataSource(dataSource);
    if (vendor == Vendor.H2) {
      manager.addListener(new Durability(dataSource));
    }
    return manager;
  }
}
