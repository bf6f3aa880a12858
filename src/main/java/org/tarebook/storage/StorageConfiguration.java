package org.tarebook.storage;

import jakarta.persistence.EntityManagerFactory;
import java.sql.Connection;
import java.sql.SQLException;
import javax.sql.DataSource;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.orm.jpa.JpaTransactionManager;

/**
 * The one transaction manager, shared by JPA and JDBC, with durability on the embedded database.
 */
@Configuration(proxyBeanMethods = false)
class StorageConfiguration {

  @Bean
  Vendor vendor(DataSource dataSource) throws SQLException {
    try (Connection connection = dataSource.getConnection()) {
      return connection.getMetaData().getDatabaseProductName().equals("H2")
          ? Vendor.H2
          : Vendor.POSTGRESQL;
    }
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
